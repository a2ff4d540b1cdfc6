-- Odds of a fault against healthy from face and termination together [1]: two t densities in two
-- dimensions with the healthy correlation; slope is the terminal's lift per kelvin of the face's.
-- terminal_size is the face's load-driven rise in the terminal's spreads; others as in fault_odds.
create or replace temp macro paired_odds(
    face_z, terminal_z, face_size, terminal_size, slope, correlation, freedom, temper, ratios, weights
) as
    list_sum(list_transform(
        list_zip(ratios, weights),
        lambda p: p[2] * pow(
            (1e0 + joint_square(face_z, terminal_z, correlation) / freedom)
            / (1e0 + joint_square(
                face_z - p[1] * face_size, terminal_z - slope * p[1] * terminal_size, correlation)
                / freedom),
            temper * (freedom + 2e0) / 2e0)
    ))
