-- One row a file that was taken in; the same content is never taken in twice.
create table records.source_file (
    file_id integer not null,
    file_name varchar not null,
    content_sha256 varchar not null,
    size_bytes bigint not null,
    holds varchar not null,          -- 'reading' or 'finding'
    ingested_at timestamp with time zone not null,
    column_map varchar not null,     -- JSON: canonical column -> header, with units
    rows_read bigint not null,
    rows_kept bigint not null,
    rows_repeated bigint not null,   -- the same row was already in the store, or earlier in the file
    rows_quarantined bigint not null,
    rows_superseding bigint not null -- of the kept: corrected versions of earlier rows
)
