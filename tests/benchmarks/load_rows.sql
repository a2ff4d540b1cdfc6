-- Invented readings of one class, one in ten of them half as hot again for its load, clamped the
-- more often the warmer they are: two columns. The same for the same number of rows.
create or replace table bench_reading as
with uniform as (
    select
        i,
        0.05 + 0.95 * (hash(i) % 1000003 + 0.5) / 1000003 as x,
        (hash(i, 1) % 1000003 + 0.5) / 1000003 as b,
        (hash(i, 2) % 1000003 + 0.5) / 1000003 as c
    from range($rows * 2) as r(i)
),

heated as (
    select
        i,
        x,
        28 * pow(x, 1.64) as load_k,
        sqrt(-2 * ln(b)) * cos(2 * pi() * c) as noise
    from uniform
),

read as (
    select
        i,
        x::float as load_fraction,
        (2 + load_k * if(hash(i, 3) % 10 = 0, 1.5, 1) + noise * sqrt(1 + pow(0.08 * load_k, 2)))::float
            as rise_k
    from heated
)

select load_fraction, rise_k
from read
where hash(i, 4) % 1000003 < 1000003 * least(greatest(0.2 + 0.04 * rise_k, 0.1), 1)
limit $rows
