"""Each office's part: what of the quarter's work is open, and what became of its referrals."""

from __future__ import annotations

from analytics.statistics.order import LEAST_CASES, median, median_interval
from dashboards.pages.parts import Table, table
from dashboards.pages.quarter_words import any_limit, by_name, continuous_limit
from dashboards.quarter_found import Office
from dashboards.quarter_records import QuarterRecord


def open_table(record: QuarterRecord) -> Table | None:
    """Return the open work by office beside what each scanned; None where nothing is to be dealt.

    An office scanned more panels has more open: the panels stand beside, so that nobody is blamed
    for size.
    """
    rows = _ordered(record)
    is_open = any(
        one.open_flagged_count + one.open_rating_count + one.open_continuous_count for one in rows
    )
    if len(rows) < 2 or not is_open:
        return None
    body = [
        (
            one.office,
            f"{one.panel_count:,}",
            f"{one.open_flagged_count:,}",
            f"{one.open_rating_count:,}",
            f"{one.open_continuous_count:,}",
        )
        for one in rows
    ]
    headers = (
        "office", "panels scanned", "flagged, to examine",
        f"over {any_limit(record.policy)}, to refer",
        f"over {continuous_limit(record.policy)}, to ask",
    )  # fmt: skip
    return table("Open work by office", headers, body)


def referral_table(record: QuarterRecord) -> Table | None:
    """Return the referrals of the quarter by office; None where there is one office or none."""
    rows = [one for one in _ordered(record) if one.flagged_count]
    if len(rows) < 2:
        return None
    body = [
        (
            one.office,
            f"{one.flagged_count:,}",
            f"{one.examined_count:,}",
            f"{one.loose_count:,}",
            f"{one.device_count:,}",
            f"{one.overload_count:,}",
            f"{one.nothing_count:,}",
            f"{one.other_count:,}",
            _days(one),
        )
        for one in rows
    ]
    headers = (
        "office", "flagged", "examined", "loose connection", "device fault", "overload",
        "nothing found", "without a licence", "half within, days",
    )  # fmt: skip
    few = any(0 < len(one.waited) < LEAST_CASES for one in rows)
    words = f"; days of fewer than {LEAST_CASES} cases are too few to compare" if few else ""
    return table(f"Referrals of the quarter by office{words}", headers, body)


def _ordered(record: QuarterRecord) -> list[Office]:
    return sorted(record.offices, key=lambda one: by_name(one.office))


def _days(one: Office) -> str:
    """Write the middle of the days with its interval, or of how few cases it is."""
    if not one.waited:
        return "–"
    middle = f"{median(one.waited):.0f}"
    ends = median_interval(one.waited)
    if ends is None:
        return f"{middle} (of {len(one.waited)})"
    return f"{middle} ({ends[0]:.0f} to {ends[1]:.0f})"
