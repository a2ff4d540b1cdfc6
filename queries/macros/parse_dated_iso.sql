-- Timestamp from ISO text, 1990 to 2199; null for anything else. Words and zone names end in a letter.
create or replace temp macro parse_dated_iso(cell) as
    case
        when right(cell, 1) < ':' or ends_with(cell, 'Z')
            then parse_bounded(
                try_cast(cell as timestamp), timestamp '1990-01-01', timestamp '2199-12-31'
            )
    end
