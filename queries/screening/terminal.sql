-- title: How much warmer than usual each termination is
-- grain: one row a reading whose termination was read and could be set against its current
-- key: reading_id
-- reads: judging.evidence
-- params: none
-- caveat: beside screening.result it is all that a policy's lines are drawn on
select reading_id, terminal_residual_k
from judging.evidence
where terminal_z is not null
