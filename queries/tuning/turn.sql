-- title: From which verdict to which another policy turns past readings, and what was found of them
-- grain: one row a verdict and the one it becomes
-- key: verdict, new_verdict
-- reads: tuning.turned, tuning.reading_finding
-- params: none
-- caveat: those whose flag changes come first
select
    t.verdict,
    t.new_verdict,
    bool_or(t.was_flagged <> t.would_be_flagged) as is_flag_changed,
    count(*) as reading_count,
    count(f.reading_id) as examined_count,
    count(*) filter (where f.is_fault) as fault_count
from tuning.turned as t
left join tuning.reading_finding as f using (reading_id)
group by t.verdict, t.new_verdict
order by is_flag_changed desc, reading_count desc, t.verdict, t.new_verdict
