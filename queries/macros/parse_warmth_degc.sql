-- Temperature [degC] of a cell in `unit`, null outside low to high [degC].
create or replace temp macro parse_warmth_degc(cell, is_comma, unit, low, high) as
    parse_bounded(parse_warmth(cell, is_comma, unit), low, high)
