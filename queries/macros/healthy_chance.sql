-- Chance that a reading's heat is no fault's [1], the local false-discovery rate (Efron 2010). Of
-- several poles only a material fault counts: the rest of the excess may be the other leg's load.
create or replace temp macro healthy_chance(is_multi_pole, odds, material_odds) as
    1e0 - case when is_multi_pole then material_odds else odds end / (1e0 + odds)
