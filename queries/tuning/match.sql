-- title: The reading each finding speaks of
-- grain: one row a current finding
-- key: finding_id
-- reads: tuning.finding, tuning.match_candidate
-- params: $is_guess_accepted whether guessed matches count
-- source: chosen: the sure match first, then the same device, then the latest scan before the visit
-- caveat: what does not count keeps the code that says why; found before the scan by day, or after it
--   was read in, it does not count
with ranked as (
    select
        *,
        row_number() over (
            partition by finding_id
            order by
                case matched_by when 'key' then 0 when 'slot' then 1 else 2 end,
                day_count,
                reading_id
        ) as choice
    from tuning.match_candidate
)

select
    f.* exclude (ingested_at),
    case when r.matched_by = 'key' or $is_guess_accepted::boolean then r.reading_id end
        as reading_id,
    r.reading_id as guessed_reading_id,
    r.matched_by,
    r.day_count,
    case
        when r.finding_id is null then 'no_reading_of_it'
        when r.matched_by <> 'key' and not $is_guess_accepted::boolean then 'guess_not_confirmed'
        else coalesce(
            finding_misdated(f.found_at, r.inspected_at, f.ingested_at),
            case when not f.is_counted then 'not_by_licensed' end)
    end as set_aside
from tuning.finding as f
left join ranked as r on r.finding_id = f.finding_id and r.choice = 1
