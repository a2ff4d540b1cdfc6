"""Flagged and over-limit devices made up by hand, of every kind that a list tells apart."""

from __future__ import annotations

from datetime import datetime

from dashboards.quarter_listed import Listed


def listed_row(number: int, **given: object) -> Listed:
    """Return a row of panel P<number>, flagged and open, with what is given in place."""
    usual: dict[str, object] = {
        "reading_id": number, "inspection_id": "V1", "panel_id": f"P{number}", "position": 4,
        "poles": 1, "device_class": "standard", "office_id": "a", "inspector_id": "N1",
        "inspected_at": datetime(2026, 7, 1), "verdict": "suspect_connection", "probability": 0.9,
        "rise_k": 20.0, "termination_rise_k": None, "rated_a": 20.0, "load_fraction": 0.5,
        "finding": None, "found_at": None, "is_licensed": None, "waiting_days": 111,
    }  # fmt: skip
    return Listed(**(usual | given))  # type: ignore[arg-type]


SEEN = {"finding": "loose_connection", "found_at": datetime(2026, 7, 9), "is_licensed": True}
ROWS = (
    listed_row(1, office_id="b"),
    listed_row(2, office_id="b", termination_rise_k=100.0),
    listed_row(3, **(SEEN | {"is_licensed": False})),
    listed_row(4, **SEEN, rise_k=90.0),
    listed_row(5, verdict="overload", load_fraction=1.2, poles=2, is_over_rating=True),
    listed_row(6, verdict="overload_and_connection", load_fraction=0.9, **SEEN),
    listed_row(7, verdict="overload", load_fraction=0.85),
)
