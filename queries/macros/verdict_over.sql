-- How far each channel lies over what its standard allows a breaker at full load, K; below 0 within.
-- Air over 40 degC counts with the rise of termination and wire, air over 25 degC with the face's: so
-- warm may the air be for the rise that is allowed (UL 489 7.1.4). Over the rating the limit grows with
-- the square of the current, the most that heat can (heat balance with a constant film). Without load a
-- device without electronics has no heat of its own.
create or replace temp macro verdict_over(
    ambient_degc, load_fraction, rise_k, termination_rise_k, conductor_rise_k, idle_lift_k,
    termination_limit_k, face_limit_k, wire_limit_degc, idle_limit_k
) as struct_pack(
    termination := termination_rise_k + greatest(ambient_degc - 40e0, 0e0)
        - termination_limit_k * pow(greatest(coalesce(load_fraction, 0e0), 1e0), 2),
    face := rise_k + greatest(ambient_degc - 25e0, 0e0)
        - face_limit_k * pow(greatest(coalesce(load_fraction, 0e0), 1e0), 2),
    wire := conductor_rise_k + greatest(ambient_degc - 40e0, 0e0)
        - termination_limit_k * pow(greatest(coalesce(load_fraction, 0e0), 1e0), 2),
    insulation := conductor_rise_k + ambient_degc - wire_limit_degc,
    idle := idle_lift_k - idle_limit_k
)
