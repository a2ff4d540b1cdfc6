-- The quick reading of a cell, or the careful one where the quick one fails. `case` keeps the careful
-- reading from being worked out for every row.
create or replace temp macro parse_else(cell, quick, careful) as
    coalesce(quick, case when cell is not null then careful end)
