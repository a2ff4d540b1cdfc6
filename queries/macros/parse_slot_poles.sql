-- Poles [1] told by a position cell that names both slots of a two-pole device, such as '5/7'.
create or replace temp macro parse_slot_poles(cell) as
    case
        when try_cast(regexp_extract(cell, '^\s*#?(\d{1,2})\s*[-/,&+]\s*#?(\d{1,2})\s*$', 1) as integer) + 2
            = try_cast(regexp_extract(cell, '^\s*#?(\d{1,2})\s*[-/,&+]\s*#?(\d{1,2})\s*$', 2) as integer)
            then 2
    end
