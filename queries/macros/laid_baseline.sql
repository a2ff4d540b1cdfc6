-- The baseline in force laid on the rows of a design table: expected rise [K] without the visit's
-- own effect, load-driven rise [K], residual [K], variance [K^2]. What the baseline knows of a row's
-- kind is put together once a kind. Levels that the baseline has not met (a new make, rating,
-- camera) have no effect of their own; a new group yields null. What the device itself and its
-- neighbours bring is scaled by its shelter: the fewer neighbours touch it, the less heat they carry
-- away. The variance holds what gain and offset leave open, 0 while the fit still runs.
create or replace temp macro laid_baseline(design_table) as table
with kinds as (
    select
        k.kind_id,
        k.group_id,
        k.minute_band,
        g.exponent,
        h.factor as shelter,
        h.factor * g.gain_k
        * (1e0 + coalesce(m.gain_share, 0e0) + coalesce(r.gain_share, 0e0)) * f.factor
            as kind_gain_k,
        g.offset_k + coalesce(m.offset_k, 0e0) as kind_offset_k,
        g.floor_slope,
        g.neighbour_slope,
        g.across_slope,
        g.main_slope,
        g.gain_k,
        g.noise_k * g.noise_k + pow(g.offset_k_se * h.factor, 2) as still_variance_k2,
        pow(g.noise_share * f.spread_factor, 2) + pow(g.gain_k_se / g.gain_k, 2) as share_variance
    from fitting.kind as k
    left join fitting.group_parameter as g on g.group_id = k.group_id
    left join fitting.shelter_factor as h on h.shelter_id = k.shelter_id
    left join fitting.make_effect as m on m.make_id = k.make_id
    left join fitting.rating_effect as r on r.rating_id = k.rating_id
    left join fitting.minute_factor as f
        on f.channel = k.channel and f.minute_band = k.minute_band
),

loaded as (
    select
        d.*,
        k.* exclude (kind_id),
        k.kind_gain_k
        * case when d.load_fraction > 0 then pow(d.load_fraction, k.exponent) else 0e0 end
            as load_rise_k,
        k.shelter * (
            k.kind_offset_k + k.neighbour_slope * d.neighbour_k + k.across_slope * d.across_k
            + k.main_slope * d.main_k) as own_rise_k,
        k.floor_slope * d.floor_k + coalesce(c.offset_k, 0e0) as air_rise_k
    from query_table(design_table) as d
    inner join kinds as k on k.kind_id = d.kind_id
    left join fitting.camera_effect as c on c.camera_level_id = d.camera_level_id
)

select
    * exclude (
        own_rise_k, air_rise_k, kind_gain_k, kind_offset_k, floor_slope, neighbour_slope, across_slope,
        main_slope, still_variance_k2, share_variance),
    own_rise_k + air_rise_k as still_rise_k,
    load_rise_k / gain_k as load_shape,
    (own_rise_k + load_rise_k) / shelter as bare_rise_k,
    channel_rise_k - air_rise_k - own_rise_k - load_rise_k as panel_residual_k,
    still_variance_k2 + share_variance * load_rise_k * load_rise_k as variance_k2
from loaded
