-- title: Means and centred products of every pair of terms, scaled to a unit diagonal
-- grain: one row a pair of terms
-- key: term, other_term
-- reads: checked_value
-- params: none
-- source: two passes as in T. F. Chan, G. H. Golub, R. J. LeVeque, The American Statistician 37
--   (1983) 242; never sum(x²) − n·mean²
-- caveat: every term needs a value in every row; a term that does not vary has no correlation
with shifted as (
    select
        row_id,
        term,
        value,
        value - min(value) over (partition by term) as above_least
    from checked_value
),

means as (
    select
        term,
        count(*) as row_count,
        min(value) as least,
        fsum(above_least) / count(*) as mean_above_least
    from shifted
    group by term
),

centred as (
    select
        shifted.row_id,
        shifted.term,
        shifted.above_least - means.mean_above_least as value
    from shifted
    inner join means using (term)
),

products as (
    select
        a.term,
        b.term as other_term,
        fsum(a.value * b.value) as product
    from centred as a
    inner join centred as b using (row_id)
    group by all
),

spreads as (
    select
        products.term,
        means.row_count,
        means.least + means.mean_above_least as mean,
        sqrt(products.product) as norm
    from products
    inner join means using (term)
    where products.term = products.other_term
)

select
    products.term,
    products.other_term,
    left_one.row_count,
    left_one.mean,
    left_one.norm,
    products.product / (left_one.norm * right_one.norm) as correlation
from products
inner join spreads as left_one on products.term = left_one.term
inner join spreads as right_one on products.other_term = right_one.term
order by products.term, products.other_term
