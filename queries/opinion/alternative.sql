-- title: The readings asked about as they would be after one more measurement
-- grain: one row a reading and measurement
-- key: reading_id
-- reads: normalise.measure, opinion.wanted, judging.borderline, judging.laid, fitting.mixture
-- params: $settled_minutes under load [min], $floor_low_k, $floor_high_k [K]
-- source: more load means 40, 60 or 80 % of rating, the next one by 4 points or more; longer,
--   settled_minutes; a termination is tried as usual and as hot as a bad connection behind this
--   face would make it;
--   a floor that was not told is tried as low and as high as in one panel of ten
-- caveat: with more load or time only the smallest fault that would be noticed is asked for
with based as (
    select
        m.*,
        b.usual_termination_k,
        greatest(coalesce(b.lift_k, 0e0), b.line_lift_k) / x.face_per_terminal as terminal_lift_k,
        case when m.load_fraction is null or m.load_fraction < 0.36e0 then 0.4e0
            when m.load_fraction < 0.56e0 then 0.6e0
            when m.load_fraction < 0.76e0 then 0.8e0 end as more_load,
        w.is_floor_open,
        unnest([1, 2, 3, 4, 5, 6]) as kind
    from normalise.measure as m
    inner join opinion.wanted as w using (reading_id)
    inner join (
        select v.reading_id, v.lift_k, v.line_lift_k, v.visit_k - p.panel_residual_k as usual_termination_k
        from judging.borderline as v
        left join judging.laid as p
            on p.reading_id = -1 - v.reading_id and p.channel = 'termination'
    ) as b using (reading_id)
    left join fitting.mixture as x
        on x.pole_family = pole_family(m.device_class, m.is_multi_pole)
        and x.is_working = (coalesce(m.load_fraction, 0e0) >= x.working_share)
)

select
    * exclude (kind, is_floor_open, more_load, usual_termination_k, terminal_lift_k) replace (
        -10 * reading_id - kind as reading_id,
        true as is_odd,
        case when kind = 1 then more_load * rated_a else current_a end as current_a,
        case when kind = 1 then more_load else load_fraction end as load_fraction,
        case when kind = 2 then $settled_minutes::double else load_minutes end as load_minutes,
        case when kind = 2 then minute_band($settled_minutes::double) else minute_band end
            as minute_band,
        case when kind = 3 then usual_termination_k
            when kind = 4 then usual_termination_k + terminal_lift_k
            else termination_rise_k end as termination_rise_k,
        case when kind = 5 then $floor_low_k::double
            when kind = 6 then $floor_high_k::double
            else floor_k end as floor_k)
from based
where case kind
        when 1 then more_load is not null
        when 2 then coalesce(load_minutes, 0e0) < $settled_minutes::double
            and load_fraction is not null
        when 3 then usual_termination_k is not null
        when 4 then usual_termination_k is not null
        else is_floor_open and load_fraction is not null
            and $floor_low_k::double is not null end
