-- Band of minutes under load: 0 not noted, then 1 to 10 by upper edges 7.5, 12.5, 17.5, 22.5, 27.5,
-- 32.5, 40, 50, 70 min. Chosen: five-minute steps, as people note them, while a body still warms
-- fast (time constant 16 to 25 min), wider ones after.
create or replace temp macro minute_band(minutes) as
    case
        when minutes is null then 0
        when minutes < 7.5e0 then 1
        when minutes < 12.5e0 then 2
        when minutes < 17.5e0 then 3
        when minutes < 22.5e0 then 4
        when minutes < 27.5e0 then 5
        when minutes < 32.5e0 then 6
        when minutes < 40 then 7
        when minutes < 50 then 8
        when minutes < 70 then 9
        else 10
    end
