-- One row a screening: what its verdicts rest on.
create table records.screening (
    screening_id integer not null,
    screened_at timestamp with time zone not null,
    policy_version varchar not null,
    baseline_version varchar not null,
    data_hash varchar not null,
    program_version varchar not null,
    reading_count bigint not null,
    changed_count bigint not null    -- verdicts that are new or read otherwise than before
)
