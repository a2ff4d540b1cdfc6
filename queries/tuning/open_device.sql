-- title: Devices that were not flagged though a visit would pay by their stated chance
-- grain: one row a device
-- key: reading_id
-- reads: tuning.candidate
-- params: $break_even chance from which a visit pays [1], $recent_days how long a scan tells of the
--   device as it is [d]
-- source: chosen: the days of tuning.planned; latest scan with a current of a slot
-- caveat: what was examined is left out; stated chances may be off, see tuning.reliability
with latest as (
    select *
    from tuning.candidate
    where inspected_at >= (select max(inspected_at) from tuning.candidate)
        - $recent_days::integer * interval 1 day
    qualify row_number() over (
        partition by panel_id, position order by inspected_at desc, reading_id desc) = 1
)

select
    reading_id,
    inspection_id,
    panel_id,
    position,
    inspected_at,
    office_id,
    device_class,
    verdict,
    probability,
    heat_ratio,
    load_fraction
from latest
where not is_flagged and not is_examined and probability >= $break_even::double
order by probability desc, reading_id
