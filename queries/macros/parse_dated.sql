-- Timestamp from ISO text, a workbook's day count (1899-12-30 is day 0) or three numbers in the
-- file's order ('dmy' or 'mdy'). Wall-clock time: an offset from UTC is left out.
create or replace temp macro parse_dated(cell, date_order) as
    parse_bounded(
        parse_else(
            cell,
            case
                when right(cell, 1) < ':' or ends_with(cell, 'Z')
                    then parse_bounded(
                        try_cast(cell as timestamp), timestamp '1990-01-01', timestamp '2199-12-31'
                    )
            end,
            case
                when try_cast(cell as double) between 20000 and 80000
                    then timestamp '1899-12-30'
                        + to_seconds(cast(round(try_cast(cell as double) * 86400e0) as bigint))
                else parse_date_words(cell, date_order)
            end
        ),
        timestamp '1990-01-01', timestamp '2199-12-31'
    )
