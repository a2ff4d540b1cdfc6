-- A temperature [degC] told as text, as text in °F; nothing where it is no number.
create or replace temp macro parse_told_degf(told) as
    coalesce(printf('%.1f', 1.8e0 * try_cast(told as double) + 32e0), '')
