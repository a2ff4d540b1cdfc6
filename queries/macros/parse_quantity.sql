-- Number with or without its unit [unit of the suffix], null where the cell is neither.
create or replace temp macro parse_quantity(cell, is_comma, suffix) as
    parse_else(cell, parse_number(cell, is_comma), parse_measure(cell, is_comma, suffix))
