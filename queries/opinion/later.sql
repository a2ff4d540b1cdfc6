-- title: What each alternative would show
-- grain: one row a reading and measurement
-- key: reading_id, kind
-- reads: judging.verdict
-- params: none
select
    (-reading_id) // 10 as reading_id,
    ((-reading_id) % 10)::integer as kind,
    smallest_ratio_seen,
    load_fraction,
    load_minutes,
    probability,
    verdict,
    termination_rise_k,
    floor_k
from judging.verdict
where reading_id < 0
