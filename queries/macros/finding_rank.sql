-- How much a finding weighs beside others of the same device at the same visit: a fault that was found
-- 2, an overload 1, nothing found 0. The heaviest stands, of alike ones the latest: who finds nothing
-- after a fault was found most likely looked at a device mended in between. Chosen.
create or replace temp macro finding_rank(finding) as
    case
        when finding in ('loose_connection', 'device_fault') then 2
        when finding = 'overload' then 1
        else 0
    end
