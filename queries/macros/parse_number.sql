-- Plain number [1]; in a file of decimal commas a dot is left to the careful reading.
create or replace temp macro parse_number(cell, is_comma) as
    case
        when not (is_comma and contains(cell, '.')) then parse_finite(try_cast(cell as double))
    end
