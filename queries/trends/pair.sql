-- title: Devices that were read again, and how their heat for their current moved
-- grain: one row a device and later visit
-- key: reading_id
-- reads: trends.reading
-- params: none
-- source: standardised residuals, panel, air and camera taken out of each, later minus earlier
-- caveat: a device that was replaced meanwhile counts as the same; a change of class tells of some
with numbered as (
    select
        *,
        lag(reading_id) over device as earlier_id,
        lag(inspected_at) over device as earlier_at,
        lag(standard_residual) over device as earlier_residual,
        lag(residual_k) over device as earlier_k,
        lag(visit_id) over device as earlier_visit
    from trends.reading
    where standard_residual is not null and not is_recheck
    window device as (
        partition by panel_id, position, device_class order by inspected_at, reading_id)
)

select
    reading_id, earlier_id, panel_id, position, device_class, quarter_index,
    datediff('day', earlier_at, inspected_at)::integer as days,
    residual_k - earlier_k as change_k,
    standard_residual - earlier_residual as change_z,
    is_flagged
from numbered
where earlier_visit <> visit_id
order by reading_id
