-- title: The readings asked about, once more, with a termination that was not read
-- grain: one row a reading whose termination was not read
-- key: reading_id
-- reads: normalise.measure, opinion.wanted
-- params: none
-- caveat: tells nothing of its visit; the baseline laid on it says what the termination usually reads
select m.* replace (
    -1 - m.reading_id as reading_id,
    true as is_odd,
    true as is_recheck,
    0e0 as termination_rise_k,
    null::double as conductor_rise_k)
from normalise.measure as m
inner join opinion.wanted as w using (reading_id)
where m.termination_rise_k is null and m.load_fraction is not null
