-- Rating [A] from '20', '20A', 'C16', '2P30', '30/2', '30A 2-pole', 'DP 30' or '2x30'.
-- Common ways of writing it, no published source.
create or replace temp macro parse_rated(cell, is_comma) as
    parse_else(cell, parse_number(cell, is_comma), coalesce(
        parse_measure(cell, is_comma, 'a|amps?\.?|amperes?|ampere'),
        try_cast(
            regexp_extract(
                cell, '(?i)^\s*[1-4]\s*-?\s*(?:p|poles?|polig|x|×)(?:\+n)?\s*[-/,:]?\s*[bcd]?\s*(\d{1,3})\s*(?:a|amps?)?\s*$',
                1
            ) as double
        ),
        try_cast(
            regexp_extract(
                cell, '(?i)^\s*[bcd]?\s*(\d{1,3})\s*(?:a|amps?)?\s*[-/,( ]?\s*[1-4]\s*-?\s*(?:p|poles?|polig)\.?\s*\)?\s*$',
                1
            ) as double
        ),
        try_cast(regexp_extract(cell, '(?i)^\s*(\d{1,3})\s*a?\s*/\s*[1-3]\s*p?\s*$', 1) as double),
        try_cast(
            regexp_extract(
                cell, '(?i)^\s*(?:[sdt]p|single|double|triple|(?:uni|bi|tri)polar|[bcd])[ -]*(?:pole)?\s*-?\s*[bcd]?(\d{1,3})\s*(?:a|amps?)?\s*$',
                1
            ) as double
        ),
        try_cast(
            regexp_extract(
                cell, '(?i)^\s*(\d{1,3})\s*(?:a|amps?)?\s*[-,(]?\s*(?:[sdt]p|(?:single|double|triple)[ -]*pole|(?:uni|bi|tri)polar)\)?\s*$',
                1
            ) as double
        )
    ))
