-- True where a cell says something and nothing could be read from it. (`case` looks into the words
-- only where it must; `and` would for every row.)
create or replace temp macro parse_lost(cell, value) as
    case when value is not null or cell is null then false else not parse_blank(cell) end
