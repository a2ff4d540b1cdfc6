-- True where a cell holds nothing, or says so in words.
create or replace temp macro parse_empty(cell) as
    case when cell is null then true else parse_blank(cell) end
