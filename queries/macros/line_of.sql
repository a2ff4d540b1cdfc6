-- The line of a policy [unit of the line] that a device class is judged by: its own where it has one,
-- else the shared one. `classes` are those with a line of their own of any kind, `own` theirs of this
-- kind, null where the shared one holds.
create or replace temp macro line_of(device_class, shared, classes, own) as
    coalesce(own[list_position(classes, device_class)], shared)
