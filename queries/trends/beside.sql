-- title: What each subject found in a year, and what others would have on the same cases
-- grain: one row a quarter, subject, measure and level
-- key: quarter_index, subject, measure, level
-- reads: trends.cell
-- params: $span quarters that count together [1]
-- source: indirect standardisation over kinds of case, the subject itself left out of what it is
--   compared with; spread is the variance of the expectation, Poisson
-- caveat: kinds of case that nobody else met do not count; left_out has what was found of them
with quarters as (
    select distinct quarter_index as upto from trends.cell
),

own as (
    select
        q.upto, c.subject, c.measure, c.level, c.kind,
        sum(c.judged_count)::double as n,
        sum(c.hit_count)::double as h
    from quarters as q
    inner join trends.cell as c
        on c.quarter_index between q.upto - $span::integer + 1 and q.upto
    where c.subject not in ('firm', 'class')
    group by all
),

beside as (
    select
        *,
        sum(n) over alike - n as other_n,
        sum(h) over alike - h as other_h
    from own
    window alike as (partition by upto, subject, measure, kind)
)

select
    upto as quarter_index,
    subject,
    measure,
    level,
    (sum(n) filter (where other_n > 0))::integer as judged_count,
    (sum(h) filter (where other_n > 0))::integer as hit_count,
    fsum(n * other_h / other_n) filter (where other_n > 0) as expected,
    fsum(pow(n / other_n, 2) * other_h) filter (where other_n > 0) as spread,
    coalesce(sum(h) filter (where not other_n > 0), 0)::integer as left_out_count
from beside
group by all
having count(*) filter (where other_n > 0) > 0
order by upto, subject, measure, level
