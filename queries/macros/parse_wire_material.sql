-- Material told by a wire cell such as '12 Cu' or '10 AWG Al'; null where it does not tell.
create or replace temp macro parse_wire_material(cell) as
    case
        when regexp_matches(cell, '(?i)(\b|\d)(cu|copper)\s*$') then 'copper'
        when regexp_matches(cell, '(?i)(\b|\d)(al|alumin[iu]+m)\s*$') then 'aluminium'
    end
