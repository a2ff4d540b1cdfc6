-- title: What tells one state of the readings from another
-- grain: one row
-- reads: records.reading
-- params: none
-- caveat: readings in force only; the order in which they came does not matter
select count(*) as reading_count, coalesce(bit_xor(content_hash), 0) as bits
from records.reading
where is_current
