-- Band of load fraction: upper edges 0.1, 0.2, 0.4, 0.6, 0.8, 1; band 7 is above rating. Chosen:
-- 0.4 is the least load of NFPA 70B-2023 7.4.5, 0.8 the continuous limit of NEC 210.20(A).
create or replace temp macro load_band(load_fraction) as
    case
        when load_fraction is null then null
        when load_fraction < 0.1e0 then 1
        when load_fraction < 0.2e0 then 2
        when load_fraction < 0.4e0 then 3
        when load_fraction < 0.6e0 then 4
        when load_fraction < 0.8e0 then 5
        when load_fraction <= 1e0 then 6
        else 7
    end
