"""How the page's numbers came about, in plain words, and which versions they rest on."""

from __future__ import annotations

from analytics.policy import default_policy
from analytics.statistics.figures import DOUBT
from dashboards.pages.parts import Table, table
from dashboards.pages.quarter_cases import LEAST_CHANCE
from dashboards.quarter_records import QuarterRecord, Version

MOST_TOLD = 100.0 / (1.0 + DOUBT)


def paragraphs(record: QuarterRecord) -> list[str]:
    """Return the method, one paragraph a thought."""
    return [
        "Rise is the surface’s temperature minus that of the air before the panel; load is the "
        "clamped current over the rating. The baseline learns from the firm’s own readings how far "
        "each class of device rises at each load, and takes out what the panel’s inside air, hot "
        "neighbours, make, rating, camera and minutes under load bring. Robust weights keep "
        "faulty devices from teaching it.",
        "A reading is flagged when a connection or device fault is likelier than the policy’s "
        "limit, its heat clearly above the usual for its current, and the excess large enough to "
        "matter. It counts as overload when the current itself is over the limit. No reading, and "
        f"no panel effect that it shaped, judges itself.{_thresholds(record)} Hotter than a "
        "standard allows a breaker at full load (UL 489, IEC 60898-1, NEC) is flagged whatever is "
        "usual here; a hot face that an overload explains is referred as an overload"
        f"{_by_limit(record)}. No chance is told above {MOST_TOLD:.0f} %: a misread "
        "clamp can look like a fault too.",
        "Shares are of the readings that could be judged. Their intervals are Wilson’s 95 % "
        "intervals; they take readings as independent, so they are a little too narrow where "
        "faults come several to a panel. Limits, funnels and changes like for like allow for "
        "that.",
        "What changes and who stands apart: cameras, inspectors, offices and makes are followed by "
        "what their readings run too warm together, each against its own past with the others’ "
        "change taken off, on Shewhart’s chart and a moving average; counts are set against what "
        "the others would have found on the same classes and loads. Named is only what stays when "
        "all comparisons of the quarter are allowed for (Benjamini and Hochberg): on steady "
        "fleets fewer than one in 40 subjects and quarters was named for nothing. "
        "The inspections of someone who hardly read the air temperature say nothing of cameras and "
        "are left out of what is followed.",
    ]


def _by_limit(record: QuarterRecord) -> str:
    """Count the flagged readings whose own chance of a fault is small."""
    flagged = [one for one in record.listed if one.is_flagged]
    small = sum((one.probability or 0.0) < LEAST_CHANCE for one in flagged)
    return f": {small:,} of the {len(flagged):,} flagged are so only for that" if small else ""


def _thresholds(record: QuarterRecord) -> str:
    """Name the limits where the verdicts rest on the policy that comes with the program."""
    policy = default_policy()
    if {one.policy_version for one in record.versions} != {policy.version}:
        return ""
    return (
        f" The policy in force flags from a chance of {100 * policy.flag_probability:.0f} %, "
        f"{policy.flag_heat_ratio:g} times the usual heat and {policy.flag_lift_k:g} K "
        f"({1.8 * policy.flag_lift_k:.1f} °F) of excess; its current limits are "
        f"{100 * policy.load_continuous_share:.0f} % of rating for loads of three hours or more "
        f"and {100 * policy.load_any_share:.0f} % for any."
    )


def versions_table(record: QuarterRecord) -> Table | None:
    """Return the versions; None where nothing was judged."""
    if not record.versions:
        return None
    headers = ("baseline", "policy", "program", "data", "fitted on", "load exponent", "readings")
    rows = [_version(one) for one in record.versions]
    return table("What the verdicts in the store rest on", headers, rows, text_columns=5)


def _version(one: Version) -> tuple[str, ...]:
    exponent = (
        "–"
        if one.exponent is None or one.exponent_sd is None
        else f"{one.exponent:.2f} ± {1.96 * one.exponent_sd:.2f}"
    )
    return (
        one.baseline_version + ("" if one.is_in_force else " (no longer in force)"),
        one.policy_version,
        one.program_version or "–",
        one.data_hash or "–",
        one.fitted_on.isoformat() if one.fitted_on else "–",
        exponent,
        f"{one.reading_count:,}",
    )
