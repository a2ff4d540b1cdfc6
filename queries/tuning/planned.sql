-- title: Devices that were not flagged, drawn to be examined
-- grain: one row a device
-- key: reading_id
-- reads: tuning.candidate
-- params: $takes how many to draw of each evidence band, from band -7 up; $draw which draw it is
-- source: drawn at random within a band, by a hash that the same draw repeats; latest scan of a slot,
--   not older than a year (chosen: what was scanned longer ago may have been changed since)
-- caveat: all of them are to be examined, whatever they look like, or the shares are off
with latest as (
    select *
    from tuning.candidate
    where inspected_at >= (select max(inspected_at) from tuning.candidate) - interval 365 day
    qualify row_number() over (
        partition by panel_id, position order by inspected_at desc, reading_id desc) = 1
),

drawn as (
    select
        *,
        row_number() over (
            partition by evidence_band order by hash(reading_id, $draw::integer), reading_id
        ) as place,
        count(*) over (partition by evidence_band) as band_count
    from latest
    where not is_flagged and not is_examined
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
    evidence_band,
    ($takes::integer[])[evidence_band + 8] / band_count as drawn_share
from drawn
where place <= ($takes::integer[])[evidence_band + 8]
order by inspected_at desc, panel_id, position
