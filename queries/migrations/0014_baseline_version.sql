-- One row a fitted baseline: what it was fitted from and what came out, as JSON.
create table records.baseline_version (
    baseline_version varchar not null,
    fitted_at timestamp with time zone not null,
    data_hash varchar not null,
    settings_hash varchar not null,
    program_version varchar not null,
    parameters varchar not null
)
