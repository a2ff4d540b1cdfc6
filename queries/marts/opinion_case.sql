-- title: Past cases of a class with what the electrician found, the latest first
-- grain: one row a finding
-- key: finding_id
-- reads: screening.result, normalise.measure, records.finding
-- params: $device_class or null for all, $case_count how many of each class, one pole or several
-- caveat: findings exist mostly for what was flagged: they tell nothing of how often faults occur
select
    f.finding_id,
    s.inspection_id,
    s.panel_id,
    s.position,
    s.device_class,
    m.is_multi_pole,
    m.rated_a,
    s.verdict,
    s.rise_k,
    s.load_fraction,
    s.heat_ratio,
    s.standard_residual,
    f.finding,
    strftime(f.found_at, '%Y-%m-%d') as found_on
from records.finding as f
inner join screening.result as s using (inspection_id, panel_id, position)
inner join normalise.measure as m using (reading_id)
where f.is_current
    and ($device_class::varchar is null or s.device_class = $device_class::varchar)
qualify row_number() over (
    partition by s.device_class, m.is_multi_pole order by f.found_at desc, f.finding_id desc)
    <= $case_count::integer
order by s.device_class, m.is_multi_pole, f.finding_id
