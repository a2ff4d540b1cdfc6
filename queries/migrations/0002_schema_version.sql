-- One row each time the schema was brought forward.
create table records.schema_version (
    version integer not null,
    migrated_at timestamp with time zone not null
)
