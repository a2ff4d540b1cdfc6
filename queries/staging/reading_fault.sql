-- title: Cells of incoming readings that could not be read, and rows that cannot be kept
-- grain: one row a reason
-- reads: parsed_reading, incoming_column
-- params: $id_less_line what a line lacks to be the row's identity, $line_less_rowid what a row of the
--     table lacks to be its line
-- caveat: a row whose cells are all empty has the code blank_row and is no reading; one without a
--     readable class, rating and surface has the one reason no_reading
with troubled as (
    select
        $id_less_line::bigint + coalesce(line, $line_less_rowid::bigint + rowid) as row_id,
        coalesce(line, $line_less_rowid::bigint + rowid) as line,
        is_kept,
        surplus,
        is_short,
        cells,
        [
            inspection_id is null, inspected_at is null, inspector_id is null, office_id is null,
            camera_id is null, clamp_id is null, site_id is null, panel_id is null, panel_location is null,
            panel_rated_a is null, ambient_degc is null, device_degc is null, termination_degc is null,
            conductor_degc is null, position is null, device_class is null, make is null,
            parse_told_poles(cells[18], null, null) is null, rated_a is null, current_a is null,
            conductor_awg is null, conductor_material is null, emissivity is null, reflected_degc is null,
            load_minutes is null, note is null, parse_unit(cells[27]) is null
        ] as lost
    from parsed_reading
    where cells is not null
),

spread as (
    select t.*, c.*, case when not parse_blank(t.cells[c.ordinal]) then t.cells[c.ordinal] end as cell, t.lost[c.ordinal] as is_lost
    from troubled as t
    cross join incoming_column as c
),

shaped as (
    select
        row_id,
        count(cell) = 0 and min(surplus) is null as is_blank,
        count(*) filter (where cell = header) >= 3 as is_header,
        bool_and(is_lost) filter (where column_name in ('device_temp', 'device_class', 'rated_a')) as is_bare,
        string_agg(column_name || '=' || cell, '; ' order by ordinal) as row_text
    from spread
    group by row_id
),

cell_fault as (
    select *,
        parse_measure(cell, false, '(?:°|º|deg\.?)?\s*[cf]|a|amps?|min|h|%') is not null as is_numeric
    from spread
    where is_lost and (is_required or cell is not null)
)

select f.row_id, line, is_kept, column_name, cell, row_text,
    case
        when cell is null then 'missing_value'
        when column_name = 'temp_unit' then 'unit_unknown'
        when column_name = 'device_class' then 'unknown_class'
        when column_name = 'inspected_at' then 'not_a_date'
        when is_temperature and is_numeric and unit = '' and cells[27] is null
            and not regexp_matches(cell, '(?i)[cf][a-z.]*\s*$')
            then case when is_required then 'unit_missing' else 'cell_without_unit' end
        when not is_required and is_numeric then 'cell_out_of_range'
        when not is_required then 'cell_not_read'
        when is_numeric then 'out_of_range'
        when column_name = 'position' then 'not_a_position'
        else 'not_a_number'
    end as code
from cell_fault as f
inner join shaped as s using (row_id)
where not s.is_blank and not s.is_header and not s.is_bare
union all by name
select distinct t.row_id, line, is_kept, surplus as cell, row_text,
    case
        when is_blank then 'blank_row'
        when is_header then 'repeated_header'
        when is_bare then 'no_reading'
        when surplus like '"%' then 'unclosed_quote'
        when surplus is not null then 'too_many_cells'
        else 'short_row'
    end as code
from troubled as t
inner join shaped using (row_id)
where is_blank or is_header or is_bare or surplus is not null or is_short
