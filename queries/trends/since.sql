-- title: What each subject found lately, and what it would have by its own earlier shares
-- grain: one row a quarter, length of the late span, subject, measure and level
-- key: quarter_index, span, subject, measure, level
-- reads: trends.cell
-- params: $longest the longest late span, $past quarters that count as earlier [1]
-- source: indirect standardisation over kinds of case; spread is the variance of the expectation
-- caveat: kinds of case that were not met earlier do not count; left_out has what was found of them
with quarters as (
    select distinct quarter_index as upto from trends.cell
),

spans as (
    select upto, unnest(range(1, $longest::integer + 1))::integer as span from quarters
),

past as (
    select s.upto, s.span, count(q.upto) as past_count
    from spans as s
    left join quarters as q
        on q.upto between s.upto - s.span - $past::integer + 1 and s.upto - s.span
    group by all
),

split as (
    select
        p.upto, p.span, p.past_count, c.subject, c.measure, c.level, c.kind,
        sum(c.judged_count) filter (where c.quarter_index > p.upto - p.span)::double as n,
        sum(c.hit_count) filter (where c.quarter_index > p.upto - p.span)::double as h,
        sum(c.judged_count) filter (where c.quarter_index <= p.upto - p.span)::double as past_n,
        sum(c.hit_count) filter (where c.quarter_index <= p.upto - p.span)::double as past_h
    from past as p
    inner join trends.cell as c
        on c.quarter_index between p.upto - p.span - $past::integer + 1 and p.upto
    where c.subject in ('firm', 'class', 'office')
    group by all
)

select
    upto as quarter_index,
    span,
    subject,
    measure,
    level,
    any_value(past_count)::integer as past_count,
    (sum(n) filter (where past_n > 0))::integer as judged_count,
    (sum(h) filter (where past_n > 0))::integer as hit_count,
    fsum(n * past_h / past_n) filter (where past_n > 0) as expected,
    fsum(pow(n / past_n, 2) * past_h) filter (where past_n > 0) as spread,
    coalesce(sum(h) filter (where past_n is null), 0)::integer as left_out_count
from split
where n > 0
group by all
having count(*) filter (where past_n > 0) > 0
order by upto, span, subject, measure, level
