-- Cell without blanks around it; null where it is empty or says that nothing was read. Only a cell
-- that begins with a blank, a sign or an N can say so, hence the quick look at its first letter.
-- (A list with `in` would become a join for every column.)
create or replace temp macro parse_text(cell) as
    case
        when ascii(cell) between 48 and 57 or ascii(cell) between 65 and 77
            or ascii(cell) between 79 and 90 or ascii(cell) between 97 and 109
            or ascii(cell) between 111 and 122 then trim(cell)
        when not parse_blank(cell) then trim(cell)
    end
