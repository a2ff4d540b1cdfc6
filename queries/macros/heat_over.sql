-- Heat of a neighbour over its panel's floor [K], capped; null where nothing sits there or no
-- floor is known. Cooler neighbours count as cooler, by 10 K at most (chosen).
create or replace temp macro heat_over(rise_k, floor_k, cap_k) as
    case when rise_k is not null and floor_k is not null
        then least(greatest(rise_k - floor_k, -10e0), cap_k) end
