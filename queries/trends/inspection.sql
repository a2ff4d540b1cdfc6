-- title: What the readings of each inspection run too warm together, who took them, what was on
-- grain: one row an inspection
-- key: inspection_id
-- reads: trends.reading
-- params: none
-- source: medians, so that a fault or a slip in a panel does not move its inspection; panels of one
--   inspection share air and camera and count once; the rest tells how warm the panel's inside was to
--   be, and none of it moves with an offset of camera or thermometer
-- caveat: a device without its panel's floor tells nothing here
with counted as (
    select
        inspection_id,
        min(quarter_index) as quarter_index,
        mode(office order by office) as office,
        mode(inspector order by inspector) as inspector,
        mode(camera order by camera) as camera,
        count(shift_k + floor_k)::integer as reading_count,
        median(shift_k + floor_slope * floor_k) as whole_k,
        median(shift_k) filter (where floor_k is not null) as part_k,
        fsum(floor_slope) filter (where shift_k + floor_k is not null)
            / nullif(count(floor_slope) filter (where shift_k + floor_k is not null), 0) as floor_slope,
        count(distinct visit_id)::double as panels,
        count(*)::double as devices,
        coalesce(fsum(load_fraction), 0e0) as load,
        coalesce(fsum(pow(load_fraction, 1.64e0)), 0e0) as heat,
        count(*) filter (where device_class not in ('standard', 'main'))::double as electronics,
        max(current_a) filter (where device_class = 'main') as main_a,
        max(load_fraction) filter (where device_class = 'main') as main_load,
        max(load_minutes) as minutes,
        stddev_samp(rise_k) as spread_k,
        quantile_cont(rise_k - floor_k, [0.25, 0.5, 0.75, 0.9]) as excess_k,
        max(rise_k - floor_k) as most_k,
        fsum(rise_k - floor_k) / nullif(count(floor_k), 0) as mean_excess_k,
        fsum(rise_k - floor_k) filter (where device_class not in ('standard', 'main'))
            as electronic_k,
        max(rise_k - floor_k) filter (where device_class = 'main') as main_k,
        max(position)::double as slots
    from trends.reading
    where not is_recheck
    group by inspection_id
)

select
    inspection_id, quarter_index, office, inspector, camera, reading_count, whole_k, part_k,
    greatest(1e0 - floor_slope, 0.05e0) as part_response,
    ln(1e0 + load / panels) as log_load,
    heat / panels as heat,
    ln(1e0 + heat / panels) as log_heat,
    ln(1e0 + reading_count / panels) as log_clamped,
    ln(1e0 + devices / panels) as log_devices,
    electronics / panels as electronics,
    coalesce(main_a, 0e0) as main_a,
    coalesce(main_load, 0e0) as main_load,
    (main_load is null)::integer::double as no_main,
    coalesce(ln(greatest(minutes, 3e0)), 3.4e0) as log_minutes,
    (minutes is null)::integer::double as no_minutes,
    coalesce(spread_k, 0e0) as spread_k,
    ln(greatest(coalesce(spread_k, 0e0), 0.1e0)) as log_spread,
    excess_k[1] as low_excess_k, excess_k[2] as middle_excess_k,
    excess_k[3] as high_excess_k, excess_k[4] as top_excess_k,
    most_k,
    mean_excess_k,
    coalesce(electronic_k / panels, 0e0) as electronic_k,
    coalesce(main_k, 0e0) as main_k,
    slots
from counted
where whole_k is not null and part_k is not null
order by quarter_index, inspection_id
