-- True where a cell says in words that nothing was read. Common spellings, no published source.
create or replace temp macro parse_blank(cell) as
    list_contains([
        '', '-', '--', '---', '–', '—', 'n/a', 'na', 'n.a.', 'n. a.', 'none', 'null', 'nil', 'not read',
        'not measured', 'not taken', 'not clamped', 'nc', 'n/c', 'nr', 'n/r', '.', '?', 's/d', 'k.a.'
    ], lower(trim(cell)))
