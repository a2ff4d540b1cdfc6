-- How many rows each kept table should have, written with every transaction, checked on open.
create table records.row_ledger (
    table_name varchar not null,
    row_count bigint not null
)
