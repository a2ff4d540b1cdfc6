-- Date text with one kind of separator: slashes between numbers, blanks around words and times.
create or replace temp macro parse_date_tidy(cell) as
    trim(
        regexp_replace(
            regexp_replace(
                regexp_replace(
                    regexp_replace(cell, '^\s*(\d{1,2})\s*[./-]\s*(\w{1,3})\s*[./-]\s*(\d{2,4})', '\1/\2/\3'),
                    '(?i)\s*([ap])\.?\s?m\.?\s*$', ' \1m'
                ),
                '(?i),|\buhr\b|\bh\s*$', ' ', 'g'
            ),
            '[T\s]+', ' ', 'g'
        )
    )
