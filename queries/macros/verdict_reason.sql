-- Why a verdict was given, in one sentence. Loads [1], minutes [min], ratios [1], counts.
create or replace temp macro verdict_reason(
    verdict, recheck_sentence, load_fraction, is_known, is_unsettled, load_minutes,
    smallest_ratio_seen, is_idle_electronic, heat_ratio, is_over_rating, continuous_share,
    hotter_count, comparable_count, heat_pattern, beyond_reason, is_face_hot, terminal_k, wire_z,
    is_face_over
) as
    case verdict
        when 'recheck' then coalesce(
            recheck_sentence, 'Far colder than any device of its class: something was misread.')
        when 'cannot_judge' then case
            when load_fraction is null
                then 'No current was clamped, so its heat cannot be set against its load.'
            when not is_known then 'The baseline knows no device of this class yet.'
            when is_unsettled then printf(
                'Only %d minutes after the loads came on: not settled.', load_minutes::integer)
            when is_idle_electronic then
                'Warmer with no load than others of its class: no sign of its connections, which '
                || 'no load tests.'
            when coalesce(smallest_ratio_seen, 1e9) > 50e0 then printf(
                'At %.0f %% of rating hardly any fault would show.', 100e0 * load_fraction)
            else printf(
                'At %.0f %% of rating only a fault of %.1f times the usual heat would show.',
                100e0 * load_fraction, smallest_ratio_seen)
        end
        when 'normal' then case
            when is_idle_electronic
                then 'Warm with no load is usual for a device with electronics of its own; '
                || 'with no load this says nothing of its connections.'
            else printf(
                'Usual for its class at %.0f %% of rating (%s); a fault of '
                || '%.1f times the usual heat would have been noticed.',
                100e0 * load_fraction,
                case when heat_ratio < 0.1e0 then 'no more than with no load'
                    else printf('%.1f times the usual heat', heat_ratio) end,
                smallest_ratio_seen)
        end
        when 'overload' then printf(
            'Carries %.0f %% of rating%s; its heat is explained by its current%s%s%s.',
            100e0 * load_fraction,
            case when is_over_rating then ''
                else printf(', over the %.0f %% for a load of three hours or more',
                    100e0 * continuous_share) end,
            case when heat_pattern = 'even'
                then ', and wire and termination are evenly warm, as current makes them'
                else '' end,
            case when is_face_over
                then ', yet hotter than its standard allows a breaker at full load' else '' end,
            case when is_unsettled then printf(
                '; %d minutes after the loads came on it is not settled', load_minutes::integer)
                else '' end)
        else case when beyond_reason is not null then beyond_reason
            when heat_pattern = 'peaks_at_terminal' and not is_face_hot
            then 'Its heat peaks at the termination, well above the device, as a bad '
                || 'connection’s does; the face alone would not show it.'
            when terminal_k > 0e0 and not is_face_hot
            then case when wire_z > 2e0 then 'Its termination and wire are' else 'Its termination is' end
                || ' warmer than its current explains'
                || case when verdict = 'overload_and_connection'
                    then printf(', which is %.0f %% of rating', 100e0 * load_fraction) else '' end
                || '; the face alone would not show it.'
            else printf(
            'Runs %.1f times as hot for its current as usual%s; %s%s.',
            greatest(heat_ratio, 0e0),
            case when verdict = 'overload_and_connection'
                then printf(', and carries %.0f %% of rating', 100e0 * load_fraction) else '' end,
            case when coalesce(comparable_count, 0) = 0 then 'no reading is comparable yet'
                when hotter_count = 0 then format(
                    'of {:,} comparable readings none ran hotter for its current',
                    comparable_count::bigint)
                else format('of {:,} comparable readings {:,} ran hotter for their current',
                    comparable_count::bigint, hotter_count::bigint) end,
            case heat_pattern
                when 'peaks_at_terminal'
                    then ', and its heat peaks at the termination, as a bad connection’s does'
                when 'peaks_in_device' then ', and it is hottest in the device, as a fault inside it makes it'
                else '' end) end
    end
