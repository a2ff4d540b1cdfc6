-- Spelling with case, accents, blanks and signs taken off, as the tables of spellings hold it.
create or replace temp macro parse_key(cell) as
    regexp_replace(strip_accents(lower(cell)), '[^\p{L}\p{N}]+', '', 'g')
