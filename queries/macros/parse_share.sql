-- Share [1] from '0.95' or '95 %'.
create or replace temp macro parse_share(cell, is_comma) as
    parse_else(
        cell,
        parse_number(cell, is_comma),
        case
            when contains(cell, '%') then parse_measure(cell, is_comma, '%') / 100e0
            else parse_measure(cell, is_comma, '')
        end
    )
