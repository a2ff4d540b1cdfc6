-- Plain number [1]; in a file of decimal commas a dot is left to the careful reading. What is not
-- finite ('inf', 'nan') is no number: its difference from itself is not 0.
create or replace temp macro parse_number(cell, is_comma) as
    parse_finite(case when not (is_comma and contains(cell, '.')) then try_cast(cell as double) end)
