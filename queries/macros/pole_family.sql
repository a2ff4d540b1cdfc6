-- Family that shares a law of excess heat: one_pole, two_pole, main. A device of several poles
-- clamped on one leg may carry more on the other, mains most of all.
create or replace temp macro pole_family(device_class, is_multi_pole) as
    case when device_class = 'main' then 'main' when is_multi_pole then 'two_pole' else 'one_pole' end
