-- The number where it lies in what is plausible, both ends included.
create or replace temp macro parse_bounded(number, low, high) as
    case when number between low and high then number end
