-- Current [A] of a cell.
create or replace temp macro parse_quantity_a(cell, is_comma) as
    parse_else(
        cell,
        parse_number(cell, is_comma),
        coalesce(
            parse_measure(cell, is_comma, 'a|amps?\.?|amperes?'),
            parse_measure(cell, is_comma, 'ma') / 1000e0
        )
    )
