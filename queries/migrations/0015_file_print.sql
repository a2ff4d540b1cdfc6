-- One row a file that was taken in: what tells at once that a file is the same, and hashes agree.
create table records.file_print (
    file_id integer not null,
    changed_ns bigint not null,      -- when the file was last changed, by the system's clock
    sample_sha256 varchar not null,  -- of a few places of the content
    hash_probe ubigint not null      -- hash of a fixed text: tells whether content hashes still agree
)
