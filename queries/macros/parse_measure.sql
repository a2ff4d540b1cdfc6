-- Number [unit of the suffix] from a cell that carries a unit; suffix is a regular expression.
create or replace temp macro parse_measure(cell, is_comma, suffix) as
    parse_body(
        regexp_replace(
            replace(
                regexp_extract(
                    replace(cell, '−', '-'),
                    '(?i)^\s*([-+]?\s?[0-9.,][0-9.,''’ \x{A0}\x{202F}]*?)\s*(?:' || suffix || ')?\s*$', 1
                ),
                '+', ''
            ),
            '[''’ \x{A0}\x{202F}]', '', 'g'
        ),
        is_comma
    )
