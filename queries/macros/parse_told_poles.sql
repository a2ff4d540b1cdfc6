-- Poles [1], 1 to 3, from its own cell, else from the rating's or the position's; else 1.
create or replace temp macro parse_told_poles(cell, rated_cell, position_cell) as
    case
        when cell = '1' or cell = '2' or cell = '3' then cast(cell as integer)
        else coalesce(
            parse_bounded(parse_integral(parse_number(cell, false)), 1, 3),
            case when cell is not null then parse_bounded(parse_poles(cell), 1, 3) end,
            case when parse_number(rated_cell, false) is null then parse_poles(rated_cell) end,
            case when strlen(position_cell) > 2 then parse_slot_poles(position_cell) end,
            1
        )
    end
