-- Number [1] from digits with separators. A comma followed by other than three digits is a decimal
-- comma; with three digits it groups thousands unless the file writes decimal commas (is_comma).
create or replace temp macro parse_body(body, is_comma) as
    try_cast(
        case
            when contains(body, ',') and contains(body, '.') then
                case
                    when regexp_matches(body, '^[-+]?[0-9]{1,3}(\.[0-9]{3})*,[0-9]+$')
                        then replace(replace(body, '.', ''), ',', '.')
                    when regexp_matches(body, '^[-+]?[0-9]{1,3}(,[0-9]{3})*\.[0-9]*$')
                        then replace(body, ',', '')
                end
            when regexp_matches(body, '^[-+]?[1-9][0-9]{0,2}(,[0-9]{3}){2,}$')
                then replace(body, ',', '')
            when regexp_matches(body, '^[-+]?[1-9][0-9]{0,2},[0-9]{3}$') and not is_comma
                then replace(body, ',', '')
            when regexp_matches(body, '^[-+]?[0-9]*,[0-9]+$') then replace(body, ',', '.')
            when regexp_matches(body, '^[-+]?[1-9][0-9]{0,2}(\.[0-9]{3}){2,}$')
                then replace(body, '.', '')
            when regexp_matches(body, '^[-+]?[1-9][0-9]{0,2}\.[0-9]{3}$') and is_comma
                then replace(body, '.', '')
            when regexp_matches(body, '^[-+]?([0-9]+\.?[0-9]*|\.[0-9]+)$') then body
        end as double
    )
