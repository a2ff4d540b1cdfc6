-- The baseline in force laid on the rows of a design table: expected rise [K] without the visit's
-- own effect, load-driven rise [K], residual [K], variance [K^2]. Levels that the baseline has not
-- met (a new make, rating, camera) have no effect of their own; a new group yields null. What the
-- device itself and its neighbours bring is scaled by its shelter: the fewer neighbours touch it,
-- the less heat they carry away. The variance holds what gain and offset leave open, 0 while the
-- fit still runs.
create or replace temp macro laid_baseline(design_table) as table
with loaded as (
    select
        d.*,
        g.exponent,
        h.factor as shelter,
        h.factor * g.gain_k
        * (1e0 + coalesce(m.gain_share, 0e0) + coalesce(r.gain_share, 0e0)) * f.factor
        * case when d.load_fraction > 0 then pow(d.load_fraction, g.exponent) else 0e0 end
            as load_rise_k,
        h.factor * (
            g.offset_k + coalesce(m.offset_k, 0e0)
            + g.neighbour_slope * d.neighbour_k + g.across_slope * d.across_k
            + g.main_slope * d.main_k) as own_rise_k,
        g.floor_slope * d.floor_k + coalesce(c.offset_k, 0e0) as air_rise_k,
        g.gain_k,
        g.gain_k_se,
        g.offset_k_se,
        g.noise_k,
        g.noise_share * f.spread_factor as noise_share
    from query_table(design_table) as d
    left join fitting.group_parameter as g on g.group_id = d.group_id
    left join fitting.shelter_factor as h on h.shelter_id = d.shelter_id
    left join fitting.make_effect as m on m.make_id = d.make_id
    left join fitting.rating_effect as r on r.rating_id = d.rating_id
    left join fitting.minute_factor as f
        on f.channel = d.channel and f.minute_band = d.minute_band
    left join fitting.camera_effect as c on c.camera_level_id = d.camera_level_id
)

select
    * exclude (noise_k, noise_share, gain_k_se, offset_k_se, own_rise_k, air_rise_k),
    own_rise_k + air_rise_k as still_rise_k,
    load_rise_k / gain_k as load_shape,
    (own_rise_k + load_rise_k) / shelter as bare_rise_k,
    channel_rise_k - air_rise_k - own_rise_k - load_rise_k as panel_residual_k,
    noise_k * noise_k + pow(noise_share * load_rise_k, 2)
    + pow(gain_k_se * load_rise_k / gain_k, 2) + pow(offset_k_se * shelter, 2) as variance_k2
from loaded
