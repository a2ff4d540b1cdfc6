"""A paragraph for the inspector's report: neutral, and within the inspector's trade."""

from __future__ import annotations

from typing import Any

from analytics import columns
from analytics.opinion.reading import Reading, shown, shown_rise
from analytics.opinion.remarks import hangs_on_floor

PARTS = {
    "read": "At the time of the inspection the face of the {rating} A {poles}{name} measured "
    "{device} in air of {ambient}, a rise of {rise}{load}{since}.",
    "termination": "Its termination measured {degrees}, a rise of {rise}.",
    "conductor": "Its wire measured {degrees}, a rise of {rise}.",
    "poles": "{poles}-pole ",
    "load": ", carrying {current} A ({share} % of its rating)",
    "no_load": ", with its current not measured",
    "since": ", {minutes} minutes after the loads came on",
    "compared": "Comparable devices at that load usually rise by {low} to {high} at the face.",
    "floor_open": "How warm the panel was inside was not measured; a warm panel would explain part "
    "of the rise, a cool one less.",
    "closing": "An infrared scan shows surfaces at one moment and under one load; it does not "
    "replace an examination of the de-energised parts.",
    "continuous": "{share} % of its rating, the limit for loads that run three hours or more",
    "rating": "its rating",
    "proviso": " if its load runs that long",
    "normal": "This lies within what is usual for such a device at that load. No further "
    "evaluation is suggested on this reading alone.",
    "overload": "{parts} explained by its current, which is above {limit}. Evaluation of the "
    "circuit's load by a licensed electrician is recommended{proviso}.",
    "warmth": "Its warmth is",
    "even_warmth": "Its warmth, alike in face, termination and wire, is",
    "suspect_connection": "{cause} A connection or device fault is suspected; evaluation by a "
    "licensed electrician is recommended.",
    "overload_and_connection": "{cause} Its current is above {limit}. Evaluation of the circuit's "
    "load, the connection and the device by a licensed electrician is recommended.",
    "peak": "Its termination is much hotter than the parts beside it.",
    "hot_face": "Its face is warmer than its current explains.",
    "hot_termination": "Its termination is warmer than its current explains.",
    "hot_both": "Its termination and wire are warmer than its current explains.",
    "cannot_judge": "Under these conditions the reading allows no conclusion about the device or "
    "its connections.",
    "recheck": "The readings contradict each other and are to be taken again; no conclusion is "
    "drawn.",
}
"""What the paragraph is put together from; the advice by verdict."""
CONTINUOUS_MINUTES = 180.0
"""From when a load counts as continuous [min]: three hours, NEC Article 100."""


def paragraph(reading: Reading, row: dict[str, Any]) -> str:
    """Return the paragraph: what was read under which load, how it compares, who should look."""
    parts = [_read(reading, row), *_beside(reading, row), _compared(row, reading.unit)]
    parts.append(_advice(reading, row))
    if hangs_on_floor(row):
        parts.append(PARTS["floor_open"])
    return " ".join(part for part in (*parts, PARTS["closing"]) if part)


def cause(row: dict[str, Any]) -> str:
    """Return which part is hot, and against what: its standard, its neighbours, its current."""
    if row["beyond"] is not None:
        return str(row["reason"])
    if row["heat_pattern"] == "peaks_at_terminal" and not row["is_face_hot"]:
        return PARTS["peak"]
    if (row["terminal_residual_k"] or 0.0) > 0 and not row["is_face_hot"]:
        return PARTS["hot_both" if (row["wire_z"] or 0.0) > 2 else "hot_termination"]
    return PARTS["hot_face"]


def _beside(reading: Reading, row: dict[str, Any]) -> list[str]:
    """Return what the other parts read, one sentence each."""
    return [
        PARTS[name].format(
            degrees=shown(getattr(reading, f"{name}_degc"), reading.unit),
            rise=shown_rise(row[f"{name}_rise_k"], reading.unit),
        )
        for name in ("termination", "conductor")
        if row[f"{name}_rise_k"] is not None
    ]


def _advice(reading: Reading, row: dict[str, Any]) -> str:
    is_over, minutes = bool(row["is_over_rating"]), reading.load_minutes or 0.0
    limit = PARTS["continuous"].format(share=f"{100 * row['load_continuous_share']:.0f}")
    return PARTS[row["verdict"]].format(
        parts=PARTS["even_warmth" if row["heat_pattern"] == "even" else "warmth"],
        cause=cause(row),
        limit=PARTS["rating"] if is_over else limit,
        proviso="" if is_over or minutes >= CONTINUOUS_MINUTES else PARTS["proviso"],
    )


def _read(reading: Reading, row: dict[str, Any]) -> str:
    unit, load, since = reading.unit, PARTS["no_load"], ""
    if reading.current_a is not None:
        share = f"{100 * row['load_fraction']:.0f}"
        load = PARTS["load"].format(current=f"{reading.current_a:g}", share=share)
    if reading.load_minutes is not None:
        since = PARTS["since"].format(minutes=f"{reading.load_minutes:g}")
    return PARTS["read"].format(
        rating=f"{reading.rated_a:g}",
        poles=PARTS["poles"].format(poles=reading.poles) if reading.poles > 1 else "",
        name=columns.DEVICE_CLASSES[reading.device_class],
        device=shown(reading.device_degc, unit),
        ambient=shown(reading.ambient_degc, unit),
        rise=shown_rise(row["rise_k"], unit),
        load=load,
        since=since,
    )


def _compared(row: dict[str, Any], unit: str) -> str:
    if row["lower_k"] is None or row["verdict"] == "recheck":
        return ""
    low, high = (shown_rise(row[name], unit) for name in ("lower_k", "upper_k"))
    return PARTS["compared"].format(low=low, high=high)
