-- title: Cells of incoming findings that could not be read, and rows that cannot be kept
-- grain: one row a reason
-- reads: parsed_finding, incoming_column
-- params: $id_less_line what a line lacks to be the row's identity, $line_less_rowid what a row of the
--     table lacks to be its line
-- source: the catalogue of rules
-- caveat: a row whose cells are all empty has the code blank_row and is no finding
with troubled as (
    select
        $id_less_line::bigint + coalesce(line, $line_less_rowid::bigint + rowid) as row_id,
        coalesce(line, $line_less_rowid::bigint + rowid) as line,
        coalesce(is_kept, false) as is_kept,
        surplus,
        cells,
        [
            inspection_id is null, panel_id is null, position is null, found_at is null,
            finding is null, examined_by_licensed is null, note is null
        ] as lost
    from parsed_finding
    where cells is not null
),

spread as (
    select t.*, c.*, t.cells[c.ordinal] as cell, t.lost[c.ordinal] as is_lost
    from troubled as t
    cross join incoming_column as c
),

shaped as (
    select
        row_id,
        count(cell) = 0 and min(surplus) is null as is_blank,
        count(*) filter (where cell = header) >= 3 as is_header,
        string_agg(column_name || '=' || cell, '; ' order by ordinal) as row_text
    from spread
    group by row_id
)

select f.row_id, line, is_kept, column_name, cell, row_text,
    case
        when cell is null then 'missing_value'
        when column_name = 'finding' then 'unknown_finding'
        when column_name = 'position' then 'not_a_position'
        else 'cell_not_read'
    end as code
from spread as f
inner join shaped as s using (row_id)
where not s.is_blank and not s.is_header and is_lost and (is_required or cell is not null)
union all by name
select t.row_id, line, is_kept, surplus as cell, row_text,
    case
        when is_blank then 'blank_row'
        when is_header then 'repeated_header'
        when surplus like '"%' then 'unclosed_quote'
        else 'too_many_cells'
    end as code
from troubled as t
inner join shaped using (row_id)
where is_blank or is_header or surplus is not null
