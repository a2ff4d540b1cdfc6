-- Temperature [degC] from a number in unit 'degF' or 'degC'; null where the unit is unknown.
-- Source: exact by definition of the Fahrenheit scale (NIST SP 811, B.8).
create or replace temp macro parse_to_degc(number, unit) as
    case unit when 'degF' then (number - 32e0) / 1.8e0 when 'degC' then number end
