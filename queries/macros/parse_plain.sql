-- Plain number [1] within what is plausible, both ends included; null where the cell is anything else.
-- What is not finite ('inf', 'nan') lies outside any range.
create or replace temp macro parse_plain(cell, low, high) as
    parse_bounded(try_cast(cell as double), low, high)
