-- Cell without blanks around it; null where it is empty or says that nothing was read.
create or replace temp macro parse_text(cell) as
    case
        when strlen(cell) > 14 then trim(cell)
        when cell[1] between '0' and '9' then trim(cell)
        when not parse_blank(cell) then trim(cell)
    end
