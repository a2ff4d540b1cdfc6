-- What to measure next, or who should look; what lies beyond its standard is left alone. Where only a
-- fault of twice the usual heat or more would show, the termination is asked for (chosen). A flip
-- chance from a fifth counts as borderline (chosen); a load as continuous from three hours on (NEC
-- Article 100).
create or replace temp macro verdict_next_step(
    verdict, load_fraction, is_known, is_unsettled, is_under_gate, is_over_rating, load_minutes,
    settled_by, flip_chance, beyond, has_termination, smallest_ratio_seen, is_idle_electronic,
    is_face_over
) as
    case verdict
        when 'recheck' then 'Read ambient, device and current again, and check the units.'
            || case when beyond is null then '' else ' If it is as hot as read, leave it and refer it '
                || 'to a licensed electrician.' end
        when 'cannot_judge' then case
            when load_fraction is null and not has_termination
                then 'Clamp its current and scan again; read its termination too, which needs no clamp.'
            when load_fraction is null then 'Clamp its current and scan again.'
            when not is_known then 'Collect readings of this class.'
            when is_unsettled then 'Wait until the loads have run for half an hour and scan again.'
            else case when is_under_gate
                    then 'Scan again when its usual loads run, at 40 % of rating or more'
                    else 'Scan again when more of its usual loads run' end
                || case when has_termination then '.' else ', and read its termination too.' end
        end
        when 'normal' then case
            when is_idle_electronic then 'Scan again when its usual loads run'
                || case when has_termination then '.' else ', and read its termination too.' end
            when not has_termination and smallest_ratio_seen >= 2e0 then printf(
                'Read its termination too: its face shows only a fault of %.1f times the usual heat.',
                smallest_ratio_seen)
            else 'Keep the load with the reading, to compare with at the next visit.'
        end
        when 'overload' then case
            when is_face_over then 'Leave it and refer it to a licensed electrician: no standard '
                || 'allows a face so hot at full load.'
            when is_over_rating or coalesce(load_minutes >= 180e0, false)
                then 'Refer the circuit’s load to a licensed electrician.'
            else 'If this load runs three hours or more at a time, refer it to a licensed '
                || 'electrician; if not, keep its current with the reading.'
        end
        when 'suspect_connection' then
            case when beyond is null then '' else 'Leave it; do not go back in to clamp it. ' end
            || 'Refer to a licensed electrician: suspected connection or device fault.'
        else
            case when beyond is null then '' else 'Leave it; do not go back in to clamp it. ' end
            || 'Refer to a licensed electrician: load and suspected connection or device fault.'
    end
    || case
        when beyond is not null then ''
        when settled_by = 'other_leg'
            then ' Clamp the other leg too: it may carry more than the one that was clamped.'
        when coalesce(flip_chance, 0e0) < 0.2e0 then ''
        when settled_by = 'current' then ' Borderline: clamp its current again to settle it.'
        when settled_by = 'termination' then ' Borderline: read its termination and wire too.'
        when settled_by = 'ambient' then ' Borderline: read the ambient air again to settle it.'
        when settled_by = 'surface' then ' Borderline: scan its surface again to settle it.'
        else ''
    end
