-- Timestamp from '3/2/2026' or '03/02/2026 10:30', the usual ways of writing it; null for anything
-- else, and where day or month do not exist. Four times quicker than the list of all ways.
create or replace temp macro parse_date_slashed(cell, date_order) as
    case
        when date_order = 'dmy' then try_strptime(cell, ['%d/%m/%Y', '%d/%m/%Y %H:%M'])
        else try_strptime(cell, ['%m/%d/%Y', '%m/%d/%Y %H:%M'])
    end
