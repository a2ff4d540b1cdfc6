-- title: Marks on kept readings, with their sentences
-- grain: one row a mark
-- reads: row_mark, panel_mark, stray_mark, habit_mark, slot_mark, conflict_mark, rule
-- params: none
-- source: the catalogue of rules; a temperature is told in °C and °F, whatever the firm reads
-- caveat: none
with marks as (
    select * from row_mark
    union all by name
    select * from panel_mark
    union all by name
    select * from stray_mark
    union all by name
    select * from habit_mark
    union all by name
    select * from slot_mark
    union all by name
    select * from conflict_mark
)

select
    m.reading_id,
    m.column_name,
    m.code,
    list_reduce([
        ['', r.sentence],
        ['{column}', coalesce(m.column_name, 'the row')],
        ['{value}', coalesce(m.value::varchar, '')],
        ['{value_degf}', parse_told_degf(m.value)],
        ['{value_difference}', parse_told_difference(m.value)],
        ['{other}', coalesce(m.other::varchar, '')],
        ['{other_degf}', parse_told_degf(m.other)]
    ], lambda told, pair: ['', replace(told[2], pair[1], pair[2])])[2] as sentence
from marks as m
inner join rule as r using (code)
