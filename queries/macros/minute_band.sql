-- Band of minutes under load: 0 not noted, 1 under 10, 2 under 15, 3 under 20, 4 under 30, 5 under
-- 45, 6 under 60, 7 an hour or more. Chosen: edges near half to three time constants of a body.
create or replace temp macro minute_band(minutes) as
    case
        when minutes is null then 0
        when minutes < 10 then 1
        when minutes < 15 then 2
        when minutes < 20 then 3
        when minutes < 30 then 4
        when minutes < 45 then 5
        when minutes < 60 then 6
        else 7
    end
