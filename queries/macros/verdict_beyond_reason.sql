-- Why a reading lies over what standards allow, in one sentence; limits [K, degC], load [1].
create or replace temp macro verdict_beyond_reason(
    beyond, is_loaded, load_fraction, termination_limit_k, face_limit_k, wire_limit_degc, idle_limit_k
) as
    case beyond
        when 'termination' then printf(
            'Its termination is hotter than its standard allows a breaker at full load '
            || '(%.0f K or %.0f °F over the air)', termination_limit_k, 1.8e0 * termination_limit_k)
        when 'face' then printf(
            'Its face is hotter than its standard allows a breaker at full load '
            || '(%.0f K or %.0f °F over the air)', face_limit_k, 1.8e0 * face_limit_k)
        when 'insulation' then printf(
            'Its wire is hotter than common insulation is rated for (%.0f °C or %.0f °F at most)',
            wire_limit_degc, 1.8e0 * wire_limit_degc + 32e0)
        when 'wire' then printf(
            'Its wire is hotter than its standard allows a termination at full load '
            || '(%.0f K or %.0f °F over the air)', termination_limit_k, 1.8e0 * termination_limit_k)
        else printf(
            'With no load it is more than %.0f K or %.0f °F over what is usual, and without current '
            || 'it has no heat of its own', idle_limit_k, 1.8e0 * idle_limit_k)
    end
    || case when is_loaded then printf('; it carries %.0f %% of rating', 100e0 * load_fraction)
        else '' end
    || '.'
