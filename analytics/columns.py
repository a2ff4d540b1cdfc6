"""The nomenclature: every column's name, type, unit, meaning and plausible range, once.

Feeds the column comments of the store, the range rules of the ingest, axis titles and the
glossary. A temperature ends in `_degc`, a temperature difference in `_k`.
"""

from __future__ import annotations

from dataclasses import dataclass

DEVICE_CLASSES: dict[str, str] = {
    "standard": "thermal-magnetic breaker",
    "afci": "arc-fault breaker",
    "gfci": "ground-fault breaker",
    "dual_function": "arc-fault and ground-fault breaker",
    "main": "main breaker",
    "surge_protector": "surge-protective device",
    "energy_monitor": "energy monitor",
    "other_electronic": "other device with electronics of its own",
}
"""Device class -> plain words. All but `standard` and `main` are warm with no load."""
CLASS_WORDS: dict[str, str] = {
    "standard": "standard",
    "afci": "arc-fault",
    "gfci": "ground-fault",
    "dual_function": "dual",
    "main": "main",
    "surge_protector": "surge",
    "energy_monitor": "monitor",
    "other_electronic": "electronic",
}
"""Device class -> the word that fits a slot, an axis and the middle of a sentence."""

PANEL_LOCATIONS = ("basement", "garage", "utility", "outdoor", "attic", "other")
CONDUCTOR_MATERIALS = ("copper", "aluminium")
FINDINGS: dict[str, str] = {
    "loose_connection": "a loose or failing connection",
    "device_fault": "a fault inside the device",
    "overload": "more current than the circuit may carry",
    "nothing_found": "nothing found",
}
VERDICTS: dict[str, str] = {
    "normal": "usual for its class and current",
    "overload": "explained by its current, which is itself over the limit",
    "suspect_connection": "hotter than its current explains: suspected connection or device fault",
    "overload_and_connection": "current over the limit, and hotter than that current explains",
    "cannot_judge": "cannot be judged as read",
    "recheck": "the reading contradicts itself",
}
VERDICT_WORDS: dict[str, str] = {
    "normal": "usual",
    "overload": "overload",
    "suspect_connection": "suspected fault",
    "overload_and_connection": "overload, suspected fault",
    "cannot_judge": "not judged",
    "recheck": "recheck",
}
"""Verdict -> the word that stands in a list, on a page or at the command line."""
FINDING_WORDS: dict[str, str] = {name: name.replace("_", " ") for name in FINDINGS}
"""Finding -> how it is written."""

LOAD_WORDS = (
    "under 10 %",
    "10 to 20 %",
    "20 to 40 %",
    "40 to 60 %",
    "60 to 80 %",
    "80 to 100 %",
    "over 100 %",
)
"""Words of the load bands 1 to 7, as the macro load_band has them."""


def slot_word(position: int) -> str:
    """Write a slot as it is called: 0 is the main's."""
    return "main" if position == 0 else str(position)


@dataclass(frozen=True)
class Column:
    """One column: `low` and `high` bound what is physically plausible, in the column's unit."""

    name: str
    sql_type: str
    unit: str
    meaning: str
    low: float | None = None
    high: float | None = None
    is_required: bool = False


def _text(name: str, meaning: str, *, required: bool = False) -> Column:
    return Column(name, "VARCHAR", "", meaning, is_required=required)


def _number(
    name: str,
    unit: str,
    meaning: str,
    low: float | None = None,
    high: float | None = None,
    *,
    required: bool = False,
) -> Column:
    return Column(name, "DOUBLE", unit, meaning, low, high, required)


READING_COLUMNS: tuple[Column, ...] = (
    _text("inspection_id", "one visit of one inspector to one site", required=True),
    Column("inspected_at", "TIMESTAMP", "", "when the panel was scanned", is_required=True),
    _text("inspector_id", "who scanned"),
    _text("office_id", "the office the inspector works from"),
    _text("camera_id", "the infrared camera"),
    _text("clamp_id", "the clamp ammeter"),
    _text("site_id", "the house, as a key; never an address"),
    _text("panel_id", "the panel", required=True),
    _text("panel_location", "where the panel hangs: " + ", ".join(PANEL_LOCATIONS)),
    _number("panel_rated_a", "A", "rating of the panel", 15, 1200),
    _number("ambient_degc", "°C", "air temperature before the panel", -40, 60, required=True),
    _number("device_degc", "°C", "surface of the device's face", -40, 250, required=True),
    _number("termination_degc", "°C", "surface at the load-side termination", -40, 350),
    _number("conductor_degc", "°C", "surface of the wire, a hand's breadth away", -40, 250),
    Column(
        "position",
        "INTEGER",
        "",
        "slot number stamped in the panel: odd left, even right, 0 the main",
        0,
        84,
        True,
    ),
    _text("device_class", "class of the device: " + ", ".join(DEVICE_CLASSES), required=True),
    _text("make", "make of the device"),
    Column("poles", "INTEGER", "", "1 or 2 poles (3 in a three-phase panel)", 1, 3),
    _number("rated_a", "A", "rating of the device", 10, 600, required=True),
    _number("current_a", "A", "clamped current; of a two-pole device the larger leg", 0, 1000),
    _text("conductor_awg", "size of the wire, AWG (14, 12 … 1/0) or kcmil"),
    _text("conductor_material", "copper or aluminium"),
    _number("emissivity", "1", "emissivity set in the camera", 0.01, 1),
    _number("reflected_degc", "°C", "reflected apparent temperature", -60, 80),
    _number("load_minutes", "min", "minutes since the loads came on", 0, 2880),
    _text("note", "the inspector's words"),
)

FINDING_COLUMNS: tuple[Column, ...] = (
    _text("inspection_id", "the visit that led to the referral", required=True),
    _text("panel_id", "the panel", required=True),
    Column("position", "INTEGER", "", "slot number stamped in the panel", 0, 84, True),
    Column("found_at", "TIMESTAMP", "", "when the electrician looked"),
    _text("finding", "what was found: " + ", ".join(FINDINGS), required=True),
    Column("examined_by_licensed", "BOOLEAN", "", "a licensed electrician examined it"),
    _text("note", "the electrician's words"),
)

MEASURE_COLUMNS: tuple[Column, ...] = (
    _number("rise_k", "K", "surface of the face minus ambient air, emissivity corrected"),
    _number("termination_rise_k", "K", "termination minus ambient air"),
    _number("conductor_rise_k", "K", "wire minus ambient air"),
    _number("load_fraction", "1", "clamped current over rating"),
    _number("floor_k", "K", "the panel's inside air: low quantile of its standard breakers' rises"),
    _number("neighbour_k", "K", "mean rise above the floor of the devices above and below, capped"),
)

SETTLERS = ("current", "ambient", "surface", "termination", "other_leg")
HEAT_PATTERNS = ("peaks_at_terminal", "peaks_in_device", "even")

SCREENING_COLUMNS: tuple[Column, ...] = (
    _text("inspection_id", "one visit of one inspector to one site"),
    _text("panel_id", "the panel"),
    Column("position", "INTEGER", "", "slot number stamped in the panel"),
    _text("device_class", "class of the device"),
    _text("verdict", "one of: " + ", ".join(VERDICTS)),
    _text("reason", "why, in one sentence"),
    _text("next_step", "what to measure next, or who should look"),
    _number("score", "1", "evidence of a connection or device fault; higher is stronger"),
    _number("probability", "1", "chance of a connection or device fault, from the fleet's mixture"),
    _number("local_fdr", "1", "chance that its heat is what healthy devices of its kind show"),
    _number("rise_k", "K", "surface of the face minus ambient air"),
    _number("load_fraction", "1", "clamped current over rating"),
    _number("expected_rise_k", "K", "usual rise of such a device at that current, in that panel"),
    _number("lower_k", "K", "lower end of the healthy 95 % interval"),
    _number("upper_k", "K", "upper end of the healthy 95 % interval"),
    _number("standard_residual", "1", "(rise − expected) over the healthy spread, leave-one-out"),
    _number("heat_ratio", "1", "load-driven rise over the usual load-driven rise: 1 is typical"),
    _number("heat_ratio_low", "1", "lower end of the heat ratio's 95 % interval"),
    _number("heat_ratio_high", "1", "upper end of the heat ratio's 95 % interval"),
    _number("smallest_ratio_seen", "1", "smallest heat ratio noticed here with 80 % chance"),
    _number("p_value", "1", "share of comparable healthy readings at least as hot for their load"),
    _number("q_value", "1", "false-discovery rate within its quarter, from the p values"),
    Column("hotter_count", "BIGINT", "", "comparable readings that ran hotter for their current"),
    Column("comparable_count", "BIGINT", "", "comparable readings it was ranked among"),
    _number("flip_chance", "1", "chance that the instruments' errors would change the verdict"),
    _text("settled_by", "the one re-measurement that would settle it: " + ", ".join(SETTLERS)),
    _text("heat_pattern", "where the heat sits: " + ", ".join(HEAT_PATTERNS)),
    _number("panel_shift_k", "K", "what the panel's other readings run warmer than usual"),
    _number("projected_80_k", "K", "rise to be expected at 80 % of rating"),
    _number("projected_80_low_k", "K", "its lower end, from n, the camera and the clamp"),
    _number("projected_80_high_k", "K", "its upper end"),
    _number("projected_100_k", "K", "rise to be expected at 100 % of rating"),
    _number("projected_100_low_k", "K", "its lower end, from n, the camera and the clamp"),
    _number("projected_100_high_k", "K", "its upper end"),
    _text("policy_version", "the policy in force"),
    _text("baseline_version", "the baseline in force"),
)

DIAGNOSTIC_COLUMNS: tuple[Column, ...] = (
    _number(
        "effective_count",
        "1",
        "readings at full rating that would pin a class's rise at rating as firmly beyond its "
        "prior, were all else known",
    ),
    _number("prior_share", "1", "share of the prior in what is known of a class's rise at rating"),
    _number("width", "1", "middle 80 % of the residuals of a level over that of healthy ones"),
)


def by_name(columns: tuple[Column, ...]) -> dict[str, Column]:
    """Return the columns keyed by name."""
    return {column.name: column for column in columns}
