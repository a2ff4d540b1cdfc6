-- Temperature [degC] from a cell; a unit in the cell wins over `unit`, that of row, column or file.
create or replace temp macro parse_warmth(cell, is_comma, unit) as
    parse_else(
        cell,
        parse_to_degc(parse_number(cell, is_comma), unit),
        coalesce(
            parse_warmth_told(cell, is_comma),
            parse_to_degc(
                parse_measure(
                    cell, is_comma, '(?:°|º|˚|deg(?:rees?)?\.?)?\s*(?:f|fahrenheit|c|celsius|centigrade)?\.?'
                ),
                coalesce(parse_unit(regexp_extract(cell, '(?i)([fc])[a-z]*\.?\s*$', 1)), unit)
            )
        )
    )
