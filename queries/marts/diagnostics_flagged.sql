-- title: The readings suspected of a connection or device fault
-- grain: one row a flagged reading
-- key: reading_id
-- reads: screening.result
-- params: none
select reading_id, device_class
from screening.result
where verdict in ('suspect_connection', 'overload_and_connection')
order by reading_id
