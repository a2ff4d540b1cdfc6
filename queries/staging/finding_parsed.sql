-- title: Incoming findings, parsed
-- grain: one row an incoming row, in the order of the file
-- reads: incoming_finding
-- params: $date_order 'dmy' or 'mdy', $words tables of spellings
-- source: tables of spellings
-- caveat: a row that lacks a required value is here too, with is_kept false
with typed as (
    select
        i.*,
        parse_slot(position_cell) as slot,
        parse_dated(found_at_cell, $date_order) as found_at,
        parse_spelled(finding_cell, $words['finding']) as finding,
        parse_spelled(examined_by_licensed_cell, $words['yes_no']) as examined
    from incoming_finding as i
)

select
    line,
    surplus,
    is_short,
    inspection_id_cell as inspection_id,
    panel_id_cell as panel_id,
    parse_bounded(slot, 0, 84)::integer as position,
    found_at,
    finding,
    case examined when 'yes' then true when 'no' then false end as examined_by_licensed,
    note_cell as note,
    inspection_id_cell is not null and panel_id_cell is not null and finding is not null
    and slot between 0 and 84 and surplus is null as is_kept,
    case
        when inspection_id_cell is null or panel_id_cell is null or finding is null or slot is null
            or slot not between 0 and 84 or surplus is not null or is_short
            or (found_at is null and found_at_cell is not null)
            or (examined is null and examined_by_licensed_cell is not null)
            then [
                inspection_id_cell, panel_id_cell, position_cell, found_at_cell, finding_cell,
                examined_by_licensed_cell, note_cell
            ]
    end as cells
from typed
