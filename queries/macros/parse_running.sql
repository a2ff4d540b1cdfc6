-- Minutes [min] from '45', '45 min', '1.5 h', '1 h 30 min' or '1:30'.
create or replace temp macro parse_running(cell, is_comma) as
    parse_else(
        cell,
        parse_number(cell, is_comma),
        coalesce(
            parse_measure(cell, is_comma, 'm|mins?|minutes?|min\.|minuten|minutos'),
            60e0 * parse_measure(cell, is_comma, 'h|hrs?|hours?|std|stunden?|horas?'),
            list_transform(
                [regexp_extract_all(cell, '(?i)^\s*(\d{1,2})\s*(?::|h)\s*(\d{1,2})\s*(?:m|min)?\s*$', 1)],
                lambda hours: 60e0 * try_cast(hours[1] as double)
            )[1]
            + try_cast(regexp_extract(cell, '(?i)(\d{1,2})\s*(?:m|min)?\s*$', 1) as double)
        )
    )
