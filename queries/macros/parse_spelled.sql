-- Key of a word in the table of spellings; a canonical word is its own key.
create or replace temp macro parse_spelled(cell) as
    case
        when cell in (
            'standard', 'afci', 'gfci', 'dual_function', 'main', 'surge_protector',
            'energy_monitor', 'other_electronic', 'basement', 'garage', 'utility', 'outdoor', 'attic',
            'other', 'copper', 'aluminium', 'loose_connection', 'device_fault', 'overload', 'nothing_found'
        ) then cell
        else parse_key(cell)
    end
