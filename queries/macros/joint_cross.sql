-- Inner product [1] that belongs to `joint_square`: of residuals (a, b) and lifts (c, d).
create or replace temp macro joint_cross(a, b, c, d, correlation) as
    (a * c - correlation * (a * d + b * c) + b * d) / (1e0 - correlation * correlation)
