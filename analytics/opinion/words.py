"""What the figures of an opinion say, in words."""

from __future__ import annotations

from typing import Any

from analytics import columns
from analytics.opinion.reading import shown_rise

Row = dict[str, Any]

PLACES = {
    "no_band": "Without its current there is no band to lay it in.",
    "below_band": "Cooler than 95 % of healthy ones: {gap} below the band.",
    "low_in_band": "In the lower part of the healthy band.",
    "middle": "Near the middle of the healthy band.",
    "high_in_band": "In the upper part of the healthy band.",
    "above_band": "Hotter than 95 % of healthy ones: {gap} above the band.",
}
"""Where a reading lies, by code; the middle is the half of the band around the expected rise."""


def verdict_words(row: Row) -> str:
    """Return the verdict in words that hold for what was read of it."""
    suspected = "suspected connection or device fault"
    if row["verdict"] == "suspect_connection":
        if row["beyond"] is not None:
            return f"hotter than any load explains: {suspected}"
        if row["load_fraction"] is None:
            return suspected
    if row["verdict"] == "overload" and not row["is_over_rating"]:
        return "over the limit for a load of three hours or more, by which its heat is explained"
    return columns.VERDICTS[str(row["verdict"])]


def place(row: Row) -> str:
    """Return the code of where the rise lies in the healthy band."""
    rise, low, middle, high = (
        row[name] for name in ("rise_k", "lower_k", "expected_rise_k", "upper_k")
    )
    if middle is None:
        return "no_band"
    if rise > high or rise < low:
        return "above_band" if rise > high else "below_band"
    if rise > (middle + high) / 2 or rise < (middle + low) / 2:
        return "high_in_band" if rise > middle else "low_in_band"
    return "middle"


def place_sentence(row: Row, unit: str) -> str:
    """Return where the rise lies in the healthy band, in one sentence."""
    code = place(row)
    edge = {"above_band": row["upper_k"], "below_band": row["lower_k"]}.get(code)
    gap = "" if edge is None else shown_rise(abs(row["rise_k"] - edge), unit)
    return PLACES[code].format(gap=gap)


def kind(device_class: str, is_multi_pole: bool) -> str:
    """Return a class and its poles in plain words: “arc-fault breaker, one pole”."""
    poles = "several poles" if is_multi_pole else "one pole"
    return f"{columns.DEVICE_CLASSES[device_class]}, {poles}"


def load_words(low: float | None, high: float | None) -> str:
    """Return a load band in words: “40 to 60 % of rating”."""
    if low is None:
        return "load not known"
    if high is None:
        return f"over {100 * low:.0f} % of rating"
    return f"{100 * low:.0f} to {100 * high:.0f} % of rating"


def rank_sentence(rank: Row) -> str:
    """Return how many comparable readings ran hotter, and which they are."""
    kept = kind(rank["device_class"], rank["is_multi_pole"])
    if rank["load_low"] is None:
        return "Without its current it cannot be ranked."
    which = f"{kept}, {load_words(rank['load_low'], rank['load_high'])}"
    if not rank["comparable_count"]:
        return f"No comparable reading yet ({which})."
    hotter = f"{rank['hotter_count']:,} ran hotter for their"
    ran = hotter if rank["hotter_count"] else "none ran hotter for its"
    return f"Of {rank['comparable_count']:,} comparable readings {ran} current ({which})."


def chance(value: float | None) -> str:
    """Return a chance in words: whole per cent, “under 1 %”, “over 99 %”."""
    if value is None:
        return "unknown"
    if value < 0.01:
        return "under 1 %"
    return "over 99 %" if value > 0.99 else f"{100 * value:.0f} %"


def times(value: float | None) -> str:
    """Return a ratio in words: one decimal, “over 50” where it means nothing."""
    if value is None or value > 50:
        return "over 50"
    return f"{value:.1f}"
