-- One row a reason why a row of a file was not kept.
create table records.quarantine (
    file_id integer not null,
    sheet varchar,
    line bigint not null,
    column_name varchar,             -- canonical column at fault, null for the whole row
    cell varchar,                    -- the text as it stood
    code varchar not null,
    sentence varchar not null,
    row_text varchar                 -- the row as text, so that nothing is lost
)
