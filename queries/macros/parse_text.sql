-- Cell without blanks around it; null where it is empty or says that nothing was read.
create or replace temp macro parse_text(cell) as
    case
        when strlen(cell) > 14 or ascii(cell) between 48 and 57 then trim(cell)
        when not parse_blank(cell) then trim(cell)
    end
