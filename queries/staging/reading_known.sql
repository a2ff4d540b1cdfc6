-- title: What is known of readings
-- grain: one row a content
-- reads: records.reading
-- params: none
-- caveat: history counts too: an older version of a corrected row is known, not new
select content_hash from records.reading
