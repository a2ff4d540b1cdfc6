-- Poles [1] told by a position cell that names all slots of a device of two or three poles, such as
-- '5/7' or '1/3/5'.
create or replace temp macro parse_slot_poles(cell) as
    case
        when try_cast(regexp_extract(cell, '^\s*#?(\d{1,2})\s*[-/,&+]\s*#?(\d{1,2})\s*$', 1) as integer) + 2
            = try_cast(regexp_extract(cell, '^\s*#?(\d{1,2})\s*[-/,&+]\s*#?(\d{1,2})\s*$', 2) as integer)
            then 2
        when try_cast(regexp_extract(cell, '^\s*#?(\d{1,2})\s*[-/,&+]\s*#?\d{1,2}\s*[-/,&+]\s*#?(\d{1,2})\s*$', 1) as integer) + 4
            = try_cast(regexp_extract(cell, '^\s*#?(\d{1,2})\s*[-/,&+]\s*#?\d{1,2}\s*[-/,&+]\s*#?(\d{1,2})\s*$', 2) as integer)
            then 3
    end
