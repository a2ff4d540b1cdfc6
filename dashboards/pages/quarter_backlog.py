"""Flagged devices of several quarters that still wait for a licensed electrician."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from dashboards.pages.parts import count
from dashboards.quarter_records import QuarterRecord, Referral

TWICE = "Each quarter’s page lists its own; one flagged in two quarters counts in both."


@dataclass(frozen=True)
class Backlog:
    """How many wait, of how many that were flagged, and the quarter of the oldest; blank at 0."""

    count: int
    flagged_count: int
    since: str


def of(referrals: Iterable[Referral], before: str = "9999") -> Backlog:
    """Return what waits of the quarters before one, by default of all."""
    rows = [one for one in referrals if one.quarter < before]
    waiting = [one for one in rows if one.flagged_count > one.examined_count]
    return Backlog(
        count=sum(one.flagged_count - one.examined_count for one in waiting),
        flagged_count=sum(one.flagged_count for one in rows),
        since=min((one.quarter for one in waiting), default=""),
    )


def beside(backlog: Backlog, number: int) -> str:
    """Go on after what waits of a quarter by what waits with earlier ones; nothing without any."""
    if not backlog.count:
        return ""
    whole = number + backlog.count
    return f"; with earlier quarters {whole:,} wait, the oldest since {backlog.since}"


def alone(backlog: Backlog) -> tuple[str, str]:
    """Return what to do, and why, where only earlier quarters have what waits; else blanks."""
    if not backlog.count:
        return "", ""
    is_one = backlog.count == 1
    since = (
        f"it waits since {backlog.since}" if is_one else f"the oldest waits since {backlog.since}"
    )
    return (
        f"Have {count(backlog.count, 'flagged device')} of earlier quarters examined; {since}.",
        f"No licensed electrician has examined {'it' if is_one else 'them'} yet. {TWICE}",
    )


def sentence(record: QuarterRecord) -> str:
    """Say what waits of all quarters up to the record's; nothing where nothing was flagged."""
    held = of(record.referrals)
    if not held.flagged_count:
        return ""
    flagged = count(held.flagged_count, "flagged device")
    if not held.count:
        return f"Licensed electricians have examined all {flagged} up to {record.quarter}."
    verb = "waits" if held.count == 1 else "wait"
    return (
        f"Of {flagged} up to {record.quarter}, {held.count:,} still {verb} for a licensed "
        f"electrician, the oldest since {held.since}. {TWICE}"
    )
