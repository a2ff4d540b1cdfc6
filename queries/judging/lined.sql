-- title: The numbers of every judgement beside the lines that its class is judged by
-- grain: one row a current reading
-- key: reading_id
-- reads: judging.judgement
-- params: $flag_probability, $flag_heat_ratio [1], $flag_lift_k [K], $flag_load_share of rating [1]: the
--   lines of all classes; $own_classes which have a line of their own, $own_probability,
--   $own_heat_ratio, $own_lift_k, $own_load_share theirs, null where they have none of that kind
-- caveat: the other lines of a policy hold for every class
select
    *,
    line_of(device_class, $flag_probability::double, $own_classes::varchar[],
        $own_probability::double[]) as line_probability,
    line_of(device_class, $flag_heat_ratio::double, $own_classes::varchar[],
        $own_heat_ratio::double[]) as line_heat_ratio,
    line_of(device_class, $flag_lift_k::double, $own_classes::varchar[],
        $own_lift_k::double[]) as line_lift_k,
    line_of(device_class, $flag_load_share::double, $own_classes::varchar[],
        $own_load_share::double[]) as line_load_share
from judging.judgement
