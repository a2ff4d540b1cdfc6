-- title: How many readings of a panel pass the same candidate lines
-- grain: one row a panel, class, stratum, evidence band and set of lines passed
-- reads: tuning.candidate
-- params: $probabilities [1], $heat_ratios [1], $lifts_k [K], $load_shares of rating [1]: the lines
--   tried, rising; $by_class, $by_load, $by_office whether these make strata
-- source: a policy of the grid flags a cell when every line of it is among the first that are passed
-- caveat: a reading that fails the lowest line of one kind passes none; a termination stands in for
--   the heat ratio, as in judging.verdict
with passed as (
    select
        *,
        len(list_filter($probabilities::double[], lambda x: x <= probability)) as p,
        case when has_terminal then len($heat_ratios::double[])
            else len(list_filter($heat_ratios::double[], lambda x: x <= heat_ratio)) end as h,
        len(list_filter($lifts_k::double[], lambda x: x <= lift_k)) as k,
        len(list_filter($load_shares::double[], lambda x: x <= load_fraction)) as g
    from tuning.candidate
),

marked as (
    select *, p > 0 and h > 0 and k > 0 and g > 0 and not is_always as is_open from passed
)

select
    panel_id,
    concat_ws(
        ', ',
        case when $by_class::boolean then device_class end,
        case when $by_load::boolean then 'load band ' || load_band(load_fraction) end,
        case when $by_office::boolean then office_id end) as stratum,
    device_class,
    evidence_band,
    is_flagged,
    is_always,
    case when is_open then p else 0 end::integer as probability_count,
    case when is_open then h else 0 end::integer as ratio_count,
    case when is_open then k else 0 end::integer as lift_count,
    case when is_open then g else 0 end::integer as load_count,
    count(*)::bigint as reading_count,
    count(*) filter (where is_examined)::bigint as examined_count,
    count(*) filter (where is_fault)::bigint as fault_count
from marked
group by all
order by all
