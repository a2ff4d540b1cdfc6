-- One row a verdict that was new or read otherwise than the one before it; none is ever changed.
create table records.verdict (
    screening_id integer not null,   -- the screening that first said so
    reading_id bigint not null,
    verdict varchar not null,
    reason varchar not null,
    next_step varchar not null,
    probability double,
    heat_ratio double,
    expected_rise_k double,
    lower_k double,
    upper_k double,
    rise_k double,
    standard_residual double,
    terminal_residual_k double,      -- null where no termination was read
    smallest_ratio_seen double,
    is_recheck boolean not null
)
