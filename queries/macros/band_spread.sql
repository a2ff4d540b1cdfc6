-- Healthy spread [K] of a rise whose load-driven part is load_rise_k, with what the panel leaves
-- open. Source: var e = noise^2 + (share * load-driven rise)^2 + variance of the panel's effect.
create or replace temp macro band_spread_k(noise_k, noise_share, load_rise_k, panel_variance_k2) as
    sqrt(noise_k * noise_k + pow(noise_share * load_rise_k, 2) + panel_variance_k2)
