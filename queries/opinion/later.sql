-- title: What each alternative would show
-- grain: one row a reading and measurement
-- key: reading_id, kind
-- reads: judging.borderline
-- params: none
select
    (-reading_id) // 10 as reading_id,
    ((-reading_id) % 10)::integer as kind,
    smallest_ratio_seen,
    load_fraction,
    load_minutes,
    probability,
    verdict,
    termination_rise_k
from judging.borderline
where reading_id < 0
