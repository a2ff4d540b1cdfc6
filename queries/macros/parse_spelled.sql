-- Key of a word in the table of spellings; a canonical word is its own key.
create or replace temp macro parse_spelled(cell) as
    case
        when cell = 'standard'
            or cell = 'afci'
            or cell = 'gfci'
            or cell = 'dual_function'
            or cell = 'main'
            or cell = 'copper'
            or cell = 'basement'
            or cell = 'garage'
            or cell = 'utility'
            or cell = 'outdoor'
            or cell = 'aluminium'
            or cell = 'attic'
            or cell = 'other'
            or cell = 'surge_protector'
            or cell = 'energy_monitor'
            or cell = 'other_electronic'
            or cell = 'loose_connection'
            or cell = 'device_fault'
            or cell = 'overload'
            or cell = 'nothing_found'
            then cell
        else parse_key(cell)
    end
