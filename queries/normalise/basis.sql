-- title: What the measures were made from
-- grain: one row in all
-- reads: records.reading, records.recheck
-- params: $maker the settings and queries that make them, as a hash
-- source: hashes of whole rows, so that any cell that changes makes the measures anew
-- caveat: the order in which readings came does not matter
with readings as (
    select count(*) as reading_count, bit_xor(hash(r)) as reading_bits
    from records.reading as r
    where is_current
),

marks as (
    select count(*) as mark_count, bit_xor(hash(m)) as mark_bits
    from records.recheck as m
)

select $maker::varchar as maker, r.*, m.*
from readings as r
cross join marks as m
