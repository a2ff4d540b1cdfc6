-- Number [unit of the suffix] from a cell that may carry its unit; suffix is a regular expression.
create or replace temp macro parse_measure(cell, is_comma, suffix) as
    list_transform(
        [
            regexp_replace(
                regexp_extract(
                    replace(cell, '−', '-'),
                    '(?i)^\s*\+?\s?(-?\s?[0-9.,][0-9.,''’ \x{A0}\x{202F}]*?)\s*(?:' || suffix || ')?\s*$', 1
                ),
                '[''’ \x{A0}\x{202F}]', '', 'g'
            )
        ],
        lambda body: parse_body(body, is_comma)
    )[1]
