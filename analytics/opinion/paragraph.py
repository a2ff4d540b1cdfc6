"""A paragraph for the inspector's report: neutral, and within the inspector's trade."""

from __future__ import annotations

from typing import Any

from analytics import columns
from analytics.opinion.reading import Reading, shown, shown_rise
from analytics.opinion.remarks import hangs_on_floor

ADVICE = {
    "normal": "This lies within what is usual for such a device at that load. No further "
    "evaluation is suggested on this reading alone.",
    "overload": "Its warmth is explained by its current, which is above {limit}. Evaluation of "
    "the circuit's load by a licensed electrician is recommended{proviso}.",
    "suspect_connection": "This is warmer than its current explains. A connection or device fault "
    "is suspected; evaluation by a licensed electrician is recommended.",
    "overload_and_connection": "Its current is above {limit}, and it is warmer than that current "
    "explains. Evaluation of the circuit's load, the connection and the device by a licensed "
    "electrician is recommended.",
    "cannot_judge": "Under these conditions the reading allows no conclusion about the device or "
    "its connections.",
    "recheck": "The readings contradict each other and are to be taken again; no conclusion is "
    "drawn.",
}
CONTINUOUS = "{share:.0f} % of its rating, the limit for loads that run three hours or more"
CONTINUOUS_MINUTES = 180.0
"""From when a load counts as continuous [min]: three hours, NEC Article 100."""
FLOOR_OPEN = (
    "How warm the panel was inside was not measured; a warm panel would explain part of the rise, "
    "a cool one less."
)
CLOSING = (
    "An infrared scan shows surfaces at one moment and under one load; it does not replace an "
    "examination of the de-energised parts."
)


def paragraph(reading: Reading, row: dict[str, Any]) -> str:
    """Return the paragraph: what was read under which load, how it compares, who should look."""
    is_over, minutes = bool(row["is_over_rating"]), reading.load_minutes or 0.0
    limit = CONTINUOUS.format(share=100 * row["load_continuous_share"])
    proviso = "" if is_over or minutes >= CONTINUOUS_MINUTES else " if its load runs that long"
    parts = [_read(reading, row), _compared(row, reading.unit), ADVICE[row["verdict"]]]
    if hangs_on_floor(row):
        parts.append(FLOOR_OPEN)
    text = " ".join(part for part in parts if part).format(
        limit="its rating" if is_over else limit, proviso=proviso
    )
    return f"{text} {CLOSING}"


def _read(reading: Reading, row: dict[str, Any]) -> str:
    unit = reading.unit
    poles = f"{reading.poles}-pole " if reading.poles > 1 else ""
    name = f"{reading.rated_a:g} A {poles}{columns.DEVICE_CLASSES[reading.device_class]}"
    load = ", with its current not measured"
    if reading.current_a is not None:
        load = (
            f", carrying {reading.current_a:g} A ({100 * row['load_fraction']:.0f} % of its rating)"
        )
    since = ""
    if reading.load_minutes is not None:
        since = f", {reading.load_minutes:g} minutes after the loads came on"
    return (
        f"At the time of the inspection the {name} measured {shown(reading.device_degc, unit)} in "
        f"air of {shown(reading.ambient_degc, unit)}, a rise of {shown_rise(row['rise_k'], unit)}"
        f"{load}{since}."
    )


def _compared(row: dict[str, Any], unit: str) -> str:
    if row["lower_k"] is None or row["verdict"] == "recheck":
        return ""
    low, high = (shown_rise(row[name], unit) for name in ("lower_k", "upper_k"))
    return f"Comparable devices at that load usually rise by {low} to {high}."
