"""What to do next: a few lines, each from what the marts and the trends count, none invented."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from analytics.trends.protocol import WARM_K
from analytics.trends.records import Signal
from dashboards import theme
from dashboards.pages import quarter_signals as told
from dashboards.pages.parts import count, listed
from dashboards.pages.quarter_beside import beyond, beyond_words
from dashboards.pages.quarter_drift import unit_of
from dashboards.pages.quarter_words import by_name, slot_words, upper
from dashboards.quarter_listed import Listed
from dashboards.quarter_records import QuarterRecord
from dashboards.theme import RiseScale

MOST_HOT = 3
"""Devices that a line names at most [1]; chosen: a line holds no more."""
MOST_LINES = 5
"""Lines at most [1]; chosen: what an owner takes away from a page."""


@dataclass(frozen=True)
class NextLine:
    """What to do, why, and the part of the page that tells more."""

    what: str
    why: str
    href: str


def lines(record: QuarterRecord, scale: RiseScale) -> list[NextLine]:
    """Return what to do next, the most urgent first; nothing where nothing calls for it."""
    found = [
        *_examine(record, scale),
        *_loads(record),
        *_habits(record),
        *_cameras(record, scale),
        *_clamp(record, scale),
    ]
    return found[:MOST_LINES]


def _examine(record: QuarterRecord, scale: RiseScale) -> list[NextLine]:
    open_ones = [one for one in record.listed if one.is_flagged and one.is_open]
    if not open_ones:
        return []
    hot = sorted(open_ones, key=lambda one: -one.hottest_k)[:MOST_HOT]
    number = len(open_ones)
    names = "; ".join(_hot(one, scale) for one in hot)
    whole = sum(one.is_flagged for one in record.listed)
    who = _of(number, whole, "flagged device")
    why = (
        f"No licensed electrician has seen {'it' if number == 1 else 'them'} yet"
        f"{_most(open_ones)}. {'It is' if number == 1 else 'The hottest:'} {names}."
    )
    return [NextLine(f"Have {who} examined.", why, "#act")]


def _of(number: int, whole: int, noun: str) -> str:
    return count(number, noun) if number == whole else f"{number:,} of the {whole:,} {noun}s"


def _hot(one: Listed, scale: RiseScale) -> str:
    heat = f"{scale.text(one.rise_k)} above the air"
    if one.termination_rise_k is not None:
        heat += f", its termination {scale.text(one.termination_rise_k)}"
    return f"panel {one.panel_id}, {slot_words(one.position, one.poles)} ({heat})"


def _most(rows: Sequence[Listed]) -> str:
    """Name the office that most of them are in, where there is more than one."""
    offices = Counter(one.office_id or "not noted" for one in rows)
    if len(offices) < 2:
        return ""
    most = max(offices.values())
    names = sorted((name for name, n in offices.items() if n == most), key=by_name)
    return f"; most are in office {names[0]} ({most:,})" if len(names) == 1 else ""


def _loads(record: QuarterRecord) -> list[NextLine]:
    over = [one for one in record.listed if one.is_over and one.load_fraction is not None]
    open_ones = [one for one in over if one.is_open]
    if not open_ones:
        return []
    most = max(open_ones, key=lambda one: one.load_fraction or 0.0)
    number = len(open_ones)
    why = (
        f"{'It carries' if number == 1 else 'They carry'} more current than the limit, and no "
        f"licensed electrician has seen {'it' if number == 1 else 'them'}{_most(open_ones)}. "
        f"{'It is' if number == 1 else 'The most loaded:'} panel {most.panel_id}, "
        f"{slot_words(most.position, most.poles)}, at {theme.share(most.load_fraction)} of its "
        "rating."
    )
    return [
        NextLine(
            f"Have the loads of {_of(number, len(over), 'overloaded device')} looked at.",
            why,
            "#act",
        )
    ]


def _habits(record: QuarterRecord) -> list[NextLine]:
    """Return a line for each inspector whose habits stand apart, with what came of them."""
    own: dict[str, list[Signal]] = {}
    for one in told.of_quarter(record):
        if one.subject == "inspector" and one.measure in told.HABITS:
            own.setdefault(one.level_name, []).append(one)
    return [
        NextLine(
            f"Go through how to read a panel with inspector {name}.",
            f"{upper(told.group_brief(own[name]).removeprefix(f'inspector {name} '))}"
            f"{_judged(record, name)}.",
            "#quality",
        )
        for name in sorted(own, key=by_name)
    ]


def _judged(record: QuarterRecord, name: str) -> str:
    row = next((one for one in record.level_rows("inspector") if one.level == name), None)
    if row is None or not row.reading_count:
        return ""
    now = record.now
    return (
        f"; {row.judged_count:,} of {name}’s {row.reading_count:,} readings could be judged "
        f"({theme.share(row.judged_count / row.reading_count)}, in the whole firm "
        f"{theme.share(now.judged_count / now.reading_count)})"
    )


def _cameras(record: QuarterRecord, scale: RiseScale) -> list[NextLine]:
    """Return a line for the cameras that read apart, or else beyond the grey."""
    loud = [
        one
        for one in told.of_quarter(record)
        if one.subject == "camera" and one.measure == "deviation"
    ]
    names = sorted({one.level_name for one in loud}, key=by_name)
    if names:
        first = {name: next(one for one in loud if one.level_name == name) for name in names}
        why = "; ".join(first[name].brief.removeprefix("camera ") for name in names)
        return [_compare(names, f"{why}. Read the same device with another camera at once.")]
    unsure = [one.level_name for one in beyond("camera", record)]
    if not unsure:
        return []
    words = beyond_words("camera", record, unit_of("camera", scale))
    return [_compare(unsure, f"Camera {words.removesuffix(': compare the camera')}.")]


def _compare(names: list[str], why: str) -> NextLine:
    what = f"Compare camera {listed(names)} with another."
    return NextLine(what, upper(why), "#apart")


def _clamp(record: QuarterRecord, scale: RiseScale) -> list[NextLine]:
    held = record.trends.habits if record.trends else ()
    rows = [one for one in held if one.measure == "clamped"]
    total, clamped = sum(one.total for one in rows), sum(one.count for one in rows)
    missed = total - clamped
    if not missed:
        return []
    most = max(rows, key=lambda one: one.total - one.count)
    share = most.total - most.count
    whom = f"; {share:,} of them by {most.inspector}" if len(rows) > 1 else ""
    why = (
        f"Of {total:,} devices {scale.text(WARM_K)} or more warmer than their panel’s inside "
        f"air {missed:,} were read without a current{whom}. Those are the ones to clamp; what is "
        "cool need not be."
    )
    return [NextLine(f"Clamp what is warm: {missed:,} were not clamped.", why, "#quality")]
