-- Which limit a reading lies over, whatever the baseline says; null where it lies over none.
-- `over` as `verdict_over` gives it. A hot face is left to the load where an overload explains it.
create or replace temp macro verdict_beyond(over_k, is_face_explained) as
    case
        when over_k.termination > 0e0 then 'termination'
        when over_k.face > 0e0 and not is_face_explained then 'face'
        when over_k.insulation > 0e0 then 'insulation'
        when over_k.wire > 0e0 then 'wire'
        when over_k.idle > 0e0 then 'idle'
    end
