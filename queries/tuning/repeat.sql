-- title: Readings of the same device a short while apart, at a like load
-- grain: one row a pair of readings
-- key: reading_id, other_reading_id
-- reads: normalise.reading, records.reading
-- params: $most_days apart [d], $load_step by which the load may differ, $clamp_share least load for
--   setting clamps side by side, both of rating [1]
-- source: chosen: panel, slot, class and rating tell the device; clamps only within one day, since
--   loads change from day to day
-- caveat: a device that was replaced in between by its like counts as the same; a load that moved
--   moves the rise with it, and counts as the measuring's; who was not noted stays null
with clamped as (
    select
        n.reading_id,
        n.visit_id,
        n.panel_id,
        n.position,
        n.device_class,
        n.rated_a,
        n.load_fraction,
        n.inspected_at,
        n.inspector_id,
        n.camera_id,
        r.clamp_id,
        n.rise_k,
        n.current_a
    from normalise.reading as n
    inner join records.reading as r using (reading_id)
    where n.load_fraction is not null and n.rise_k is not null and not n.is_recheck
)

select
    a.reading_id,
    b.reading_id as other_reading_id,
    a.panel_id,
    a.position,
    a.visit_id,
    b.visit_id as other_visit_id,
    a.inspector_id,
    b.inspector_id as other_inspector_id,
    a.camera_id,
    b.camera_id as other_camera_id,
    a.clamp_id,
    b.clamp_id as other_clamp_id,
    a.rise_k,
    b.rise_k as other_rise_k,
    a.current_a,
    b.current_a as other_current_a,
    date_diff('day', a.inspected_at, b.inspected_at) = 0
    and least(a.load_fraction, b.load_fraction) >= $clamp_share::double as is_for_clamps
from clamped as a
inner join clamped as b using (panel_id, position, device_class, rated_a)
where (a.inspected_at, a.reading_id) < (b.inspected_at, b.reading_id)
    and a.visit_id <> b.visit_id
    and date_diff('day', a.inspected_at, b.inspected_at) <= $most_days::integer
    and abs(a.load_fraction - b.load_fraction) <= $load_step::double
order by a.reading_id, b.reading_id
