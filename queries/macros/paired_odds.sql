-- Odds of a fault against healthy from face and termination together [1]: two t densities in two
-- dimensions with the healthy correlation; the fault sits at the terminal (face lifted half as
-- much) or in the device (terminal half as much), even chances. Arguments as in fault_odds.
create or replace temp macro paired_odds(
    face_z, terminal_z, face_size, terminal_size, correlation, freedom, ratios, weights
) as
    list_sum(list_transform(
        list_zip(ratios, weights),
        lambda p: p[2] * 0.5e0 * (
            pow(
                (1e0 + joint_square(face_z, terminal_z, correlation) / freedom)
                / (1e0 + joint_square(
                    face_z - 0.5e0 * p[1] * face_size,
                    terminal_z - p[1] * terminal_size, correlation) / freedom),
                (freedom + 2e0) / 2e0)
            + pow(
                (1e0 + joint_square(face_z, terminal_z, correlation) / freedom)
                / (1e0 + joint_square(
                    face_z - p[1] * face_size,
                    terminal_z - 0.5e0 * p[1] * terminal_size, correlation) / freedom),
                (freedom + 2e0) / 2e0))
    ))
