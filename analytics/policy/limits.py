"""What the lines of a policy may be: their bounds, what stands where one is left out, own ones."""

from __future__ import annotations

TUNED = ("probability", "heat_ratio", "lift_k", "load_share")
"""Lines of `[flag]` that a device class may have of its own, and that findings tune."""
UNCALIBRATED = {"calibration_intercept": 0.0, "calibration_slope": 1.0}
"""Lines that a policy may leave out, with what stands then: chances as the fleet teaches them."""
NEVER = 1000.0
"""A rise [K] or temperature [°C] that no reading reaches: such a line flags nothing."""
STANDARDS = ("flag_termination_rise_k", "flag_face_rise_k", "flag_wire_degc", "flag_like_lift_k")
"""Lines that no baseline moves; a policy that leaves them out is given those of the default."""
NEUTRAL = {**UNCALIBRATED, **dict.fromkeys(STANDARDS, NEVER)}
"""Where a line changes nothing."""
MOST: dict[str, float] = {
    "flag_probability": 1.0,
    "flag_loaded_probability": 1.0,
    "flag_load_share": 1.0,
    "load_continuous_share": 2.0,
    "load_any_share": 2.0,
    "load_gate_share": 1.0,
    "worth_idle_share": 1.0,
    "calibration_intercept": 10.0,
    "calibration_slope": 10.0,
    **dict.fromkeys(STANDARDS, NEVER),
}
"""Largest value that makes sense, in the unit of the key; chosen. The others' is `LARGEST`."""
LARGEST = 1e6
"""Largest value of any line; chosen: as good as never, and a number everywhere, phones too."""
LEAST: dict[str, float] = {
    "flag_heat_ratio": 1.0,
    "calibration_intercept": -10.0,
    "calibration_slope": 0.1,
    "flag_termination_rise_k": 30.0,
    "flag_face_rise_k": 30.0,
    "flag_wire_degc": 60.0,
    "flag_like_lift_k": 10.0,
}
"""Least value that makes sense; chosen: the usual heat itself, a breaker's usual rise at full load,
the lowest insulation rating, the least that no neighbour explains. The others' is 0."""
LONGEST_BITS = 64
"""Whole numbers of more bits are not shown [1]; TOML 1.0 asks for so many."""
