-- Squared distance [1] of two standardised residuals that correlate when healthy (Mahalanobis).
create or replace temp macro joint_square(a, b, correlation) as
    (a * a - 2e0 * correlation * a * b + b * b) / (1e0 - correlation * correlation)
