-- Current [A] of a cell, null outside low to high [A].
create or replace temp macro parse_quantity_a(cell, is_comma, low, high) as
    parse_bounded(
        parse_else(
            cell,
            parse_number(cell, is_comma),
            coalesce(
                parse_measure(cell, is_comma, 'a|amps?\.?|amperes?'),
                parse_measure(cell, is_comma, 'ma') / 1000e0
            )
        ), low, high
    )
