-- One row an electrician's finding as kept.
create table records.finding (
    finding_id bigint not null,
    file_id integer not null,
    sheet varchar,
    line bigint not null,
    content_hash ubigint not null,
    is_current boolean not null,
    inspection_id varchar not null,
    panel_id varchar not null,
    position integer not null,
    found_at timestamp,
    finding varchar not null,
    examined_by_licensed boolean,
    note varchar
)
