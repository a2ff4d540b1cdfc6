-- Share [1] from '0.95', or '95 %'.
create or replace temp macro parse_share(cell, is_comma) as
    coalesce(
        parse_number(cell, is_comma),
        parse_measure(cell, is_comma, ''),
        parse_measure(cell, is_comma, '%') / 100e0
    )
