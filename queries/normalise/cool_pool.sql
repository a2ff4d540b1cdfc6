-- title: The cool end of each panel
-- grain: one row a visit with two devices or more
-- key: visit_id
-- reads: normalise.reading
-- params: $cool_share the share of the devices that count as cool [1]
-- source: chosen; a panel's idle standard breakers show its inside air
-- caveat: with fewer than four standard breakers all devices count
with pooled as (
    select
        visit_id,
        list(rise_k order by rise_k) filter (where device_class = 'standard') as standard,
        list(rise_k order by rise_k) as everything
    from normalise.reading
    where not is_odd
    group by visit_id
),

chosen as (
    select
        visit_id,
        coalesce(len(standard), 0) >= 4 as is_standard_only,
        case when coalesce(len(standard), 0) >= 4 then standard else everything end as rises
    from pooled
),

sized as (
    select
        *,
        greatest(1, ceil($cool_share::double * (len(rises) - 1)))::integer as cool_count
    from chosen
    where len(rises) >= 2
)

select
    visit_id,
    is_standard_only,
    cool_count,
    rises[cool_count + 1] as next_rise_k,
    list_sum(rises[1:cool_count]) as cool_sum_k
from sized
