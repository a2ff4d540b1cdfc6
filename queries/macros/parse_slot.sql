-- Slot number from '5', '#5', 'slot 5', 'main' (0), or the first of the slots of '5/7', '5-7', '1/3/5'.
create or replace temp macro parse_slot(cell) as
    parse_else(
        cell,
        case when strlen(cell) < 3 and ascii(cell) between 48 and 57 then try_cast(cell as integer) end,
        coalesce(
            parse_integral(parse_finite(try_cast(cell as double))),
            case
                when regexp_matches(
                    cell, '(?i)^\s*(m|main|mains?\s*(breaker|switch|disconnect)|hauptschalter|g[eé]n[eé]ral|principal)\s*$'
                ) then 0
            end,
            try_cast(
                regexp_extract(
                    cell, '(?i)^\s*(?:#|no\.?|nr\.?|slot|space|pos\.?|ckt\.?|circuit|breaker)?\s*(\d{1,3})\s*$', 1
                ) as integer
            ),
            case
                when parse_slot_poles(cell) is not null then try_cast(regexp_extract(cell, '(\d{1,2})', 1) as integer)
            end
        )
    )
