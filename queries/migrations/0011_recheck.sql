-- One row a mark on a kept reading: a rule noticed something it cannot know.
create table records.recheck (
    reading_id bigint not null,
    column_name varchar,
    code varchar not null,
    sentence varchar not null
)
