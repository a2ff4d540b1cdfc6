-- Why a finding cannot speak of a scan by its date, counted in days: made before the scan, or after
-- the day it was read in, with a day allowed for time zones; null where it can, or has no date.
create or replace temp macro finding_misdated(found_at, inspected_at, ingested_at) as
    case
        when found_at::date < inspected_at::date then 'before_scan'
        when found_at::date > ingested_at::date + 1 then 'in_future'
    end
