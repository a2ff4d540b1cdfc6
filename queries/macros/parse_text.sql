-- Cell without blanks around it; null where it is empty or says that nothing was read. Only a cell
-- that begins with a sign or an N can say so, hence the quick look at its first letter: 78 is N, and
-- masking with 95 makes small letters capital.
create or replace temp macro parse_text(cell) as
    case
        when ascii(cell) between 48 and 122 and ascii(cell) & 95 <> 78 then trim(cell)
        when not parse_blank(cell) then trim(cell)
    end
