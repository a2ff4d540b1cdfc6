-- The number unless it is infinite or not a number (text such as 'inf' casts to a double).
create or replace temp macro parse_finite(number) as case when isfinite(number) then number end
