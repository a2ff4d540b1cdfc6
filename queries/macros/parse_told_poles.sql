-- Poles [1], 1 to 3, from its own cell, else from the rating's or the position's; else null.
create or replace temp macro parse_told_poles(cell, rated_cell, position_cell) as
    case
        when cell = '1' then 1
        when cell = '2' then 2
        when not parse_empty(cell) then parse_bounded(
            coalesce(parse_integral(parse_number(cell, false)), parse_poles(cell)), 1, 3
        )
        when parse_number(rated_cell, false) is null and parse_poles(rated_cell) is not null
            then parse_poles(rated_cell)
        when strlen(position_cell) > 2 then parse_slot_poles(position_cell)
    end
