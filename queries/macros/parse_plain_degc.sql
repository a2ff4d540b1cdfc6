-- Temperature [degC] from a plain number in `unit`, within what is plausible; null for anything else.
create or replace temp macro parse_plain_degc(cell, unit, low, high) as
    parse_bounded(parse_to_degc(try_cast(cell as double), unit), low, high)
