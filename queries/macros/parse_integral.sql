-- Whole number [1] from a number without a fraction.
create or replace temp macro parse_integral(number) as
    case when number = floor(number) and abs(number) < 1e6 then cast(number as integer) end
