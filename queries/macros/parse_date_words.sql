-- Timestamp from day, month and year in the file's order, or with the month's English name.
create or replace temp macro parse_date_words(cell, date_order) as
    case
        when regexp_full_match(cell, '\d{1,2}/\d{1,2}/\d{4}( \d{1,2}:\d{2})?')
            then parse_date_slashed(cell, date_order)
        when date_order = 'dmy' then try_strptime(
            parse_date_tidy(cell),
            [
                '%d/%m/%y', '%d/%m/%Y', '%d/%m/%y %H:%M', '%d/%m/%Y %H:%M', '%d/%m/%y %H:%M:%S',
                '%d/%m/%Y %H:%M:%S', '%d/%m/%y %I:%M %p', '%d/%m/%Y %I:%M %p',
                '%d/%m/%Y %I:%M:%S %p', '%Y-%m-%d %I:%M %p', '%Y-%m-%d %I:%M:%S %p', '%d %b %Y',
                '%b %d %Y', '%d %B %Y', '%B %d %Y', '%d/%b/%y', '%d/%b/%Y', '%d %b %Y %H:%M',
                '%b %d %Y %I:%M %p'
            ]
        )
        else try_strptime(
            parse_date_tidy(cell),
            [
                '%m/%d/%y', '%m/%d/%Y', '%m/%d/%y %H:%M', '%m/%d/%Y %H:%M', '%m/%d/%y %H:%M:%S',
                '%m/%d/%Y %H:%M:%S', '%m/%d/%y %I:%M %p', '%m/%d/%Y %I:%M %p',
                '%m/%d/%Y %I:%M:%S %p', '%Y-%m-%d %I:%M %p', '%Y-%m-%d %I:%M:%S %p', '%d %b %Y',
                '%b %d %Y', '%d %B %Y', '%B %d %Y', '%d/%b/%y', '%d/%b/%Y', '%d %b %Y %H:%M',
                '%b %d %Y %I:%M %p'
            ]
        )
    end
