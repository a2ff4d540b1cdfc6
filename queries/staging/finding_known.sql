-- title: What is known of findings
-- grain: one row a content
-- reads: records.finding
-- params: none
-- caveat: history counts too: an older version of a corrected row is known, not new
select content_hash from records.finding
