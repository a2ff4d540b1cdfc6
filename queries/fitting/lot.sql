-- title: A lot of whole visits to begin a large fit with
-- grain: one row a reading and channel
-- key: reading_id, channel
-- reads: fitting.design
-- params: $share of the visits [1]
-- caveat: drawn by hash, the same visits for the same rows
select *
from fitting.design
where hash(visit_id) % 1000000 < $share::double * 1000000
