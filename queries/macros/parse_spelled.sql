-- What a word means: itself where it is one of the known words, else what the table of spellings says
-- of its key; null where no table knows it. Looked up in lists, not joined, to keep rows in order.
create or replace temp macro parse_spelled(cell, words) as
    case
        when cell is null then null
        when list_contains(words['known'], cell) then cell
        else words['meaning'][list_position(words['spelling'], parse_key(cell))]
    end
