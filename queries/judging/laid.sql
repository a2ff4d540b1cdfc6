-- title: The baseline in force laid on clamped readings
-- grain: one row a reading and channel
-- key: reading_id, channel
-- reads: judging.design
-- params: none
-- caveat: only what the judgement needs, since every step carries it along
select
    reading_id,
    visit_id,
    quarter,
    channel,
    is_taught,
    is_telling,
    group_id,
    load_fraction,
    floor_k,
    exponent,
    load_rise_k,
    still_rise_k,
    panel_residual_k,
    variance_k2
from laid_baseline('judging.design')
where group_id is not null
