-- title: Past cases of a class with what the electrician found, the latest first
-- grain: one row a device at a visit with a finding
-- key: finding_id
-- reads: screening.result, normalise.measure, records.finding, records.source_file
-- params: $device_class or null for all, $case_count how many of each class, one pole or several
-- source: of several findings that which stands, by the order of the macro standing_finding
-- caveat: findings exist mostly for what was flagged: they tell nothing of how often faults occur
with standing as (
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
        f.found_at
    from records.finding as f
    inner join screening.result as s using (inspection_id, panel_id, position)
    inner join normalise.measure as m using (reading_id)
    left join records.source_file as w on w.file_id = f.file_id
    where f.is_current
        and finding_misdated(f.found_at, m.inspected_at, w.ingested_at) is null
        and ($device_class::varchar is null or s.device_class = $device_class::varchar)
    qualify row_number() over (
        partition by s.reading_id
        order by coalesce(f.examined_by_licensed, true) desc, finding_rank(f.finding) desc,
            f.found_at desc, f.finding_id desc) = 1
)

select * exclude (found_at), strftime(found_at, '%Y-%m-%d') as found_on
from standing
qualify row_number() over (
    partition by device_class, is_multi_pole order by found_at desc, finding_id desc)
    <= $case_count::integer
order by device_class, is_multi_pole, finding_id
