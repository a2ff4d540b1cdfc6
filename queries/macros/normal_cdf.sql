-- Distribution function of the standard normal [1], to 1.4e-4. Source: Bowling, Khasawneh,
-- Kaewkuekool & Cho, A logistic approximation to the cumulative normal distribution, Journal of
-- Industrial Engineering and Management 2 (2009) (from memory, recomputed).
create or replace temp macro normal_cdf(x) as
    1e0 / (1e0 + exp(-(0.07056e0 * x * x * x + 1.5976e0 * x)))
