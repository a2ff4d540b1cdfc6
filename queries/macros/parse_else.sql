-- The quick reading of a cell, or the careful one where the quick one fails. `case` leaves the
-- careful reading to the cells that need it; `coalesce` works its parts out for every row.
create or replace temp macro parse_else(cell, quick, careful) as
    case when cell is null then null when quick is not null then quick else careful end
