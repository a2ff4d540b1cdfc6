-- title: Cells of kept findings that could not be read
-- grain: one row a cell
-- reads: row_fault
-- params: none
-- caveat: the cell itself was left empty
select line, column_name, cell
from row_fault
where is_kept and code = 'cell_not_read'
order by line, column_name
