-- Slot number from one or two digits; null for anything else.
create or replace temp macro parse_slot_digits(cell) as
    case when strlen(cell) < 3 and ascii(cell) between 48 and 57 then try_cast(cell as integer) end
