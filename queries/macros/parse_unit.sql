-- 'degF' or 'degC' from a unit as people write it, null where it is neither.
create or replace temp macro parse_unit(cell) as
    case
        when cell is null then null
        when cell = 'degF' or cell = 'F' or cell = '°F' then 'degF'
        when cell = 'degC' or cell = 'C' or cell = '°C' then 'degC'
        when regexp_matches(cell, '(?i)^\s*(°|º|˚|deg(rees?)?\.?)?\s*(f|fahrenheit)\.?\s*$') then 'degF'
        when regexp_matches(cell, '(?i)^\s*(°|º|˚|deg(rees?)?\.?)?\s*(c|celsius|centigrade)\.?\s*$')
            then 'degC'
    end
