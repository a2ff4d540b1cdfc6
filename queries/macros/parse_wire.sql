-- Size of a wire: '12', '#12', '12 AWG', '12 Cu', '12/2', '1/0', '250 kcmil', '2.5 mm2'.
create or replace temp macro parse_wire(cell) as
    case
        when cell = '12' or cell = '14' or cell = '10' or cell = '8' or cell = '6'
            or cell = '4' or cell = '3' or cell = '2' or cell = '1' or cell = '1/0'
            or cell = '2/0' or cell = '3/0' or cell = '4/0' or cell = '16' or cell = '18'
            then cell
        else coalesce(
            nullif(
                regexp_extract(
                    cell, '(?i)^\s*(?:#|no\.?|awg)?\s*(18|16|14|12|10|8|6|4|3|2|1|[1-4]/0)(?:\.0)?\s*(?:ga(?:uge)?|awg|str|sol|solid|stranded)?\.?\s*[-,/ ]*(?:cu|al|copper|alumin[iu]+m)?\s*(?:awg)?\s*$',
                    1
                ), ''
            ),
            nullif(regexp_extract(cell, '(?i)^\s*(14|12|10|8|6)\s*[/-]\s*[234](?:\s*w/?g|\s*nm-?b?)?\s*$', 1), ''),
            nullif(regexp_extract(cell, '(?i)^\s*([2-9]\d{2}|1000)\s*(?:kcmil|mcm)?\s*(?:cu|al)?\s*$', 1), ''),
            nullif(
                replace(regexp_extract(cell, '(?i)^\s*(\d{1,3}(?:[.,]\d{1,2})?)\s*mm(?:²|2|q)?\s*(?:cu|al)?\s*$', 1), ',', '.') || ' mm2',
                ' mm2'
            )
        )
    end
