-- title: The verdict of each reading asked about, with what a second opinion adds
-- grain: one row a reading asked about
-- key: reading_id
-- reads: screening.result, judging.borderline, judging.laid, judging.design, opinion.wanted
-- params: none
select
    s.*,
    b.poles, b.rated_a, b.current_a, b.load_minutes, b.is_multi_pole, b.make,
    b.lift_k, b.load_rise_k, b.floor_k, b.neighbour_k, b.termination_rise_k, b.conductor_rise_k,
    b.beyond, b.is_face_hot, b.wire_z,
    b.load_band, b.terminal_residual_k, b.is_over_rating, b.is_under_gate, b.load_continuous_share,
    b.visit_k - p.panel_residual_k as usual_termination_rise_k,
    b.ambient_degc,
    d.make_id is not null as is_make_known,
    d.rating_id is not null as is_rating_known
from screening.result as s
inner join opinion.wanted as w using (reading_id)
inner join judging.borderline as b using (reading_id)
left join judging.laid as p
    on p.reading_id = -1 - s.reading_id and p.channel = 'termination'
left join judging.design as d on d.reading_id = s.reading_id and d.channel = 'face'
order by s.reading_id
