-- A difference [K] told as text, as text in °F: 1.8 times the kelvins; nothing where it is no number.
create or replace temp macro parse_told_difference(told) as
    coalesce(printf('%.1f', 1.8e0 * try_cast(told as double)), '')
