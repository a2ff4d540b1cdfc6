-- One row each time a policy was adopted, or first used without having been adopted.
create table records.policy (
    policy_version varchar not null,
    is_adopted boolean not null,
    taken_at timestamp with time zone not null,
    in_force_from date,              -- null where it was only used
    policy_text varchar not null,    -- the TOML file, comments and all
    remark varchar,                  -- why, in the firm's words
    program_version varchar not null
)
