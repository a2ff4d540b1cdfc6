-- Poles [1] from a cell of poles or a rating cell that tells them; null where it does not.
create or replace temp macro parse_poles(cell) as
    coalesce(
        try_cast(
            coalesce(
                nullif(regexp_extract(cell, '(?i)^\s*([1-3])\s*-?\s*(?:p|poles?|polig|x|×)(?:\+n)?(?:[^a-z]|$)', 1), ''),
                nullif(regexp_extract(cell, '(?i)\d\s*(?:a|amps?)?\s*[-/,( ]\s*([1-3])\s*-?\s*(?:p|poles?|polig)\.?\s*\)?\s*$', 1), ''),
                nullif(regexp_extract(cell, '(?i)\d\s*(?:a|amps?)([1-3])\s*-?\s*(?:p|poles?|polig)\s*$', 1), ''),
                nullif(regexp_extract(cell, '(?i)^\s*\d{1,3}\s*a?\s*/\s*([1-3])\s*p?\s*$', 1), '')
            ) as integer
        ),
        case
            when regexp_matches(cell, '(?i)\b(sp|single([ -]*pole)?|unipolar)\b') then 1
            when regexp_matches(cell, '(?i)\b(dp|double([ -]*pole)?|two([ -]*pole)?|bipolar|zweipolig)\b|^\s*dp\s*\d') then 2
            when regexp_matches(cell, '(?i)\b(tp|triple([ -]*pole)?|three([ -]*pole)?|tripolar|dreipolig)\b') then 3
        end
    )
