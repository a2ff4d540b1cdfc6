-- title: Weighted products of every pair of terms, the rise itself among them
-- grain: one row a pair of terms, each pair both ways round
-- key: part, level, other_part, other_level
-- reads: fitting.predicted
-- params: none
-- source: sums of the mixed-model equations; Henderson, Biometrics 31 (1975) 423
-- caveat: levels squared: for plain data and small fleets; a term that is 0 on a row is left out there
with terms as (
    select
        reading_id,
        channel,
        weight,
        unnest([
            {'part': 'rise', 'level': 0, 'value': channel_rise_k},
            {'part': 'offset_k', 'level': group_id, 'value': shelter},
            {'part': 'gain_k', 'level': group_id, 'value': load_shape},
            {'part': 'floor_slope', 'level': group_id, 'value': floor_k},
            {'part': 'neighbour_slope', 'level': group_id, 'value': shelter * neighbour_k},
            {'part': 'across_slope', 'level': group_id, 'value': shelter * across_k},
            {'part': 'main_slope', 'level': group_id, 'value': shelter * main_k},
            {'part': 'make_offset', 'level': make_id, 'value': shelter},
            {'part': 'camera', 'level': camera_level_id, 'value': 1e0},
            {'part': 'visit', 'level': visit_id, 'value': 1e0}
        ], recursive := true)
    from fitting.predicted
    where weight > 0
)

select
    a.part,
    a.level,
    b.part as other_part,
    b.level as other_level,
    fsum(a.weight * a.value * b.value) as product
from terms as a
inner join terms as b using (reading_id, channel)
where a.value != 0 and b.value != 0
group by all
order by all
