-- One row a device reading as kept; a corrected row supersedes the older one, which stays.
create table records.reading (
    reading_id bigint not null,
    file_id integer not null,
    sheet varchar,                   -- null for files without sheets
    line bigint not null,            -- line of the file or row of the sheet, from 1
    content_hash ubigint not null,   -- of all canonical values
    is_current boolean not null,     -- false once a corrected row came in
    inspection_id varchar not null,
    inspected_at timestamp not null,
    inspector_id varchar,
    office_id varchar,
    camera_id varchar,
    clamp_id varchar,
    site_id varchar,
    panel_id varchar not null,
    panel_location varchar,
    panel_rated_a double,
    ambient_degc double not null,
    device_degc double not null,
    termination_degc double,
    conductor_degc double,
    position integer not null,
    device_class varchar not null,
    make varchar,
    poles integer not null,
    rated_a double not null,
    current_a double,
    conductor_awg varchar,
    conductor_material varchar,
    emissivity double,
    reflected_degc double,
    load_minutes double,
    note varchar
)
