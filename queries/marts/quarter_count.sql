-- title: What each quarter brought: counts, shares with Wilson intervals, change on the last one
-- grain: one row a quarter from the first in the store up to the one asked for, gaps included
-- key: quarter
-- reads: screening.result, normalise.measure
-- params: $quarter such as 2026Q3, $any_share of rating that no load may exceed [1]
-- source: Wilson 1927; Newcombe 1998, method 10, for the change
-- caveat: shares are of the readings that could be judged; readings of one panel are taken as
--   independent, so the intervals are a little too narrow
with seen as (
    select
        m.quarter,
        m.visit_id,
        any_value(m.inspection_id) as inspection_id,
        any_value(m.panel_id) as panel_id,
        count(*) as readings,
        count(m.load_fraction) as clamped,
        count(*) filter (where s.verdict not in ('cannot_judge', 'recheck')) as judged,
        count(*) filter (where s.verdict in ('suspect_connection', 'overload_and_connection'))
            as flagged,
        count(*) filter (where s.verdict in ('overload', 'overload_and_connection')) as over_limit,
        count(*) filter (where s.verdict = 'overload_and_connection') as both_limits,
        count(*) filter (where s.verdict in ('overload', 'overload_and_connection')
            and m.load_fraction > $any_share::double) as over_rating,
        count(*) filter (where s.verdict = 'cannot_judge') as unjudged,
        count(*) filter (where s.verdict = 'recheck') as rechecks
    from screening.result as s
    inner join normalise.measure as m using (reading_id)
    where m.quarter <= $quarter::varchar
    group by m.quarter, m.visit_id
),

span as (
    select unnest(range(
        4 * left(coalesce(min(quarter), $quarter::varchar), 4)::integer
        + right(coalesce(min(quarter), $quarter::varchar), 1)::integer - 1,
        4 * left($quarter::varchar, 4)::integer + right($quarter::varchar, 1)::integer
    )) as step
    from seen
),

counted as (
    select
        p.step,
        count(distinct s.inspection_id) as inspection_count,
        count(distinct s.panel_id) as panel_count,
        coalesce(sum(s.readings), 0)::bigint as reading_count,
        coalesce(sum(s.clamped), 0)::bigint as clamped_count,
        coalesce(sum(s.judged), 0)::bigint as judged_count,
        coalesce(sum(s.flagged), 0)::bigint as flagged_count,
        coalesce(sum(s.over_limit), 0)::bigint as overload_count,
        coalesce(sum(s.both_limits), 0)::bigint as both_count,
        coalesce(sum(s.over_rating), 0)::bigint as rating_count,
        coalesce(sum(s.unjudged), 0)::bigint as unjudged_count,
        coalesce(sum(s.rechecks), 0)::bigint as recheck_count,
        lag(judged_count) over (order by p.step) as last_judged,
        lag(flagged_count) over (order by p.step) as last_flagged,
        lag(overload_count) over (order by p.step) as last_over
    from span as p
    left join seen as s
        on 4 * left(s.quarter, 4)::integer + right(s.quarter, 1)::integer - 1 = p.step
    group by p.step
)

select
    (step // 4) || 'Q' || (step % 4 + 1) as quarter,
    * exclude (step, last_judged, last_flagged, last_over),
    wilson_low(flagged_count, judged_count) as flagged_low,
    wilson_high(flagged_count, judged_count) as flagged_high,
    wilson_low(overload_count, judged_count) as overload_low,
    wilson_high(overload_count, judged_count) as overload_high,
    change_low(flagged_count, judged_count, last_flagged, last_judged) as flagged_change_low,
    change_high(flagged_count, judged_count, last_flagged, last_judged) as flagged_change_high,
    change_low(overload_count, judged_count, last_over, last_judged) as overload_change_low,
    change_high(overload_count, judged_count, last_over, last_judged) as overload_change_high
from counted
order by step
