-- title: Readings as they were typed, each in a panel of its own
-- grain: one row a reading
-- key: reading_id
-- reads: none
-- params: $readings a JSON list, keys as the columns, temperatures [degC], currents [A], minutes
-- caveat: a branch device stands in slot 5, a main in slot 0; date and camera are not told, so that
--   no camera's own error is taken off
select
    *,
    true as is_current,
    'typed' as inspection_id,
    reading_id::varchar as panel_id,
    case when device_class = 'main' then 0 else 5 end as position,
    null::timestamp as inspected_at,
    null::varchar as office_id,
    null::varchar as inspector_id,
    null::varchar as camera_id,
    null::double as emissivity,
    null::double as reflected_degc
from (
    select unnest(from_json($readings::json, '[{
        "reading_id": "BIGINT", "device_class": "VARCHAR", "poles": "INTEGER", "rated_a": "DOUBLE",
        "make": "VARCHAR", "ambient_degc": "DOUBLE", "device_degc": "DOUBLE",
        "termination_degc": "DOUBLE", "conductor_degc": "DOUBLE", "current_a": "DOUBLE",
        "load_minutes": "DOUBLE", "floor_degc": "DOUBLE", "beside_degc": ["DOUBLE"]}]'),
        recursive := true)
) as t
