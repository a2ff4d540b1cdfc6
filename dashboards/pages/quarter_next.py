"""What to do next: a few lines, each from what the marts and the trends count, none invented."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from analytics.trends.protocol import WARM_K
from analytics.trends.records import HabitShare, Signal
from analytics.trends.report import age
from dashboards import theme
from dashboards.pages import quarter_backlog, quarter_missed
from dashboards.pages import quarter_signals as told
from dashboards.pages.parts import count, listed
from dashboards.pages.quarter_backlog import Backlog
from dashboards.pages.quarter_beside import beyond, beyond_words
from dashboards.pages.quarter_cases import LEAST_CHANCE
from dashboards.pages.quarter_drift import unit_of
from dashboards.pages.quarter_since import run
from dashboards.pages.quarter_words import (
    any_limit,
    by_name,
    continuous_limit,
    slot_words,
    upper,
)
from dashboards.quarter_listed import Listed
from dashboards.quarter_records import QuarterRecord
from dashboards.theme import RiseScale

MOST_NAMED = 3
"""Devices that a line names at most [1]; chosen: a line holds no more."""
MOST_LINES = 7
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
        *_missed(record),
        *_habits(record),
        *_makes(record),
        *_cameras(record, scale),
        *_clamp(record, scale),
    ]
    return found[:MOST_LINES]


def _examine(record: QuarterRecord, scale: RiseScale) -> list[NextLine]:
    open_ones = [one for one in record.listed if one.is_flagged and one.is_open]
    backlog = quarter_backlog.of(record.referrals, before=record.quarter)
    if not open_ones:
        return _earlier(backlog)
    number = len(open_ones)
    names = "; ".join(_hot(one, scale) for one in open_ones[:MOST_NAMED])
    whole = sum(one.is_flagged for one in record.listed)
    why = (
        f"{_unseen(open_ones)}{_waited(record, open_ones)}. "
        f"{'It is' if number == 1 else 'First in the list:'} {names}."
    )
    what = f"Have {_of(number, whole, 'flagged device')} examined"
    what += quarter_backlog.beside(backlog, number)
    why += f" {quarter_backlog.TWICE}" if backlog.count else ""
    return [NextLine(f"{what}.", why, "#act")]


def _earlier(backlog: Backlog) -> list[NextLine]:
    """Tell what waits of earlier quarters where nothing does of this one."""
    what, why = quarter_backlog.alone(backlog)
    return [NextLine(what, why, "#found")] if what else []


def _missed(record: QuarterRecord) -> list[NextLine]:
    what, why = quarter_missed.action(record)
    return [NextLine(what, why, "#found")] if what else []


def _of(number: int, whole: int, noun: str) -> str:
    return count(number, noun) if number == whole else f"{number:,} of the {whole:,} {noun}s"


def _unseen(rows: Sequence[Listed]) -> str:
    """Say that nobody with a licence has seen them; who else looked is told apart."""
    them = "it" if len(rows) == 1 else "them"
    looked = sum(one.finding is not None for one in rows)
    others = f"; someone without a licence looked at {looked:,}" if looked else ""
    return f"No licensed electrician has examined {them} yet{others}"


def _waited(record: QuarterRecord, rows: Sequence[Listed]) -> str:
    days = [one.waiting_days for one in rows if one.waiting_days is not None]
    if not days or record.known.known_on is None:
        return ""
    one = "it has" if len(rows) == 1 else "the longest has"
    return f"; {one} waited {count(max(days), 'day')} by {record.known.known_on.isoformat()}"


def _hot(one: Listed, scale: RiseScale) -> str:
    heat = f"{scale.text(one.rise_k)} above the air"
    if one.termination_rise_k is not None:
        heat += f", its termination {scale.text(one.termination_rise_k)}"
    if one.probability is not None:
        heat += f"; chance of a fault {theme.chance(one.probability)}"
        heat += ", flagged for a limit" if one.probability < LEAST_CHANCE else ""
    return f"panel {one.panel_id}, {slot_words(one.position, one.poles)} ({heat})"


def _loads(record: QuarterRecord) -> list[NextLine]:
    """Tell what is over its rating, and to be referred, from what is to be asked about first."""
    over = [one for one in record.listed if one.is_over and one.load_fraction is not None]
    open_ones = [one for one in over if one.is_open]
    if not open_ones:
        return []
    rated = [one for one in open_ones if one.is_over_rating]
    asked = [one for one in open_ones if not one.is_over_rating]
    whole = sum(one.is_over_rating for one in over)
    parts = []
    if rated:
        noun = f"device{'s' if whole > 1 else ''} over {any_limit(record.policy)}"
        parts.append(f"refer {_part(len(rated), whole)} {noun}")
    if asked:
        rest = _part(len(asked), len(over) - whole)
        limit = continuous_limit(record.policy)
        parts.append(f"for {rest} over {limit} ask how long the load runs")
    why = f"{_unseen(open_ones)}. {_three_hours(asked)}{_most_loaded(open_ones)}"
    return [NextLine(f"{upper('; '.join(parts))}.", why, "#act")]


def _part(number: int, whole: int) -> str:
    return f"{number:,}" if number == whole else f"{number:,} of the {whole:,}"


def _three_hours(asked: Sequence[Listed]) -> str:
    """Say what the answer decides, and for which the reading itself has it."""
    if not asked:
        return ""
    long = sum(one.has_run_long for one in asked)
    known = (
        f" {long:,} of them had run three hours when read: refer {'it' if long == 1 else 'those'}."
        if long
        else ""
    )
    return (
        "Below the rating a load is too high only where it runs three hours or more at a time: "
        f"then refer it, else keep its current with the reading.{known} "
    )


def _most_loaded(rows: Sequence[Listed]) -> str:
    most = max(rows, key=lambda one: one.load_fraction or 0.0)
    return (
        f"{'It is' if len(rows) == 1 else 'The most loaded:'} panel {most.panel_id}, "
        f"{slot_words(most.position, most.poles)}, at {theme.share(most.load_fraction)} of its "
        "rating."
    )


def _habits(record: QuarterRecord) -> list[NextLine]:
    """Return a line for each inspector whose habits stand apart, with what came of them."""
    own: dict[str, list[Signal]] = {}
    for one in told.of_quarter(record):
        if one.subject == "inspector" and one.measure in told.HABITS:
            own.setdefault(one.level_name, []).append(one)
    return [_habit(record, name, own[name]) for name in sorted(own, key=by_name)]


def _habit(record: QuarterRecord, name: str, group: list[Signal]) -> NextLine:
    since = run(
        record,
        lambda one: (
            (one.subject, one.level_name) == ("inspector", name) and one.measure in told.HABITS
        ),
    )
    words = upper(told.group_brief(group).removeprefix(f"inspector {name} "))
    return NextLine(
        f"Go through how to read a panel with inspector {name}; hear the inspector first.",
        f"{words}{', ' * bool(since)}{since}{_judged(record, name)}. A broken thermometer or a "
        "kind of job may explain it.",
        "#quality",
    )


def _judged(record: QuarterRecord, name: str) -> str:
    row = next((one for one in record.level_rows("inspector") if one.level == name), None)
    if row is None or not row.reading_count:
        return ""
    now = record.now
    return (
        f"; {row.judged_count:,} of {name}’s {row.reading_count:,} readings could be judged "
        f"({theme.share(row.judged_count / row.reading_count)}, 95{theme.PERCENT} interval "
        f"{theme.interval(row.judged_low, row.judged_high)}; in the whole firm "
        f"{theme.share(now.judged_count / now.reading_count)})"
    )


def _makes(record: QuarterRecord) -> list[NextLine]:
    """Return a line for each make that runs hotter than the others or than it used to."""
    hot: dict[str, Signal] = {}
    for one in told.of_quarter(record):
        if one.subject == "make" and one.measure == "heat" and one.size > 0:
            hot.setdefault(one.level_name, one)
    return [_make(record, name, hot[name]) for name in sorted(hot, key=by_name)]


def _make(record: QuarterRecord, name: str, signal: Signal) -> NextLine:
    brief = upper(signal.brief.removeprefix(f"make {name} "))
    why = (
        f"{brief}{'' if signal.is_new else ', ' + age(signal)}. Heat "
        "alone cannot tell a trait of the make from that of its terminations"
        f"{_confirmed(record, name)}. Have a sample of its devices examined; it speaks of the make "
        "on average, not of any one device."
    )
    return NextLine(f"Find out why make {name} runs hotter.", why, "#apart")


def _confirmed(record: QuarterRecord, name: str) -> str:
    """Set what was found of a make's flags beside that of the others; nothing without findings."""
    own = next((one for one in record.makes if one.make == name), None)
    others = [one for one in record.makes if one.make != name]
    if own is None or not own.examined_count:
        return "; none of its flagged devices has been examined"
    seen = sum(one.examined_count for one in others)
    beside = sum(one.confirmed_count for one in others)
    rest = f", of the other makes’ {beside:,} of {seen:,}" if seen else ""
    return (
        f"; of its flagged devices {own.confirmed_count:,} of {own.examined_count:,} examined were "
        f"confirmed over all quarters{rest}"
    )


def _cameras(record: QuarterRecord, scale: RiseScale) -> list[NextLine]:
    """Return a line for the cameras that read apart, or else more than is usual."""
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
    words = beyond_words("camera", record, unit_of("camera", scale), "more than is usual")
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
    why = (
        f"Of {total:,} devices {scale.text(WARM_K)} or more warmer than their panel’s inside "
        f"air {missed:,} were read without a current{_by_whom(record, rows)}. What is cool beside "
        "them needs no clamp and no second visit."
    )
    return [NextLine(f"Clamp what is warm: {missed:,} were not clamped.", why, "#quality")]


def _by_whom(record: QuarterRecord, rows: Sequence[HabitShare]) -> str:
    """Name who left more unclamped than colleagues do; who merely read more is not named."""
    apart = {
        one.level_name
        for one in told.of_quarter(record)
        if one.subject == "inspector" and one.measure == "clamped"
    }
    left = [(one.inspector, one.total - one.count) for one in rows if one.inspector in apart]
    words = [f"{number:,} of them by {name}" for name, number in sorted(left)]
    return f"; {listed(words)}" if words else ""
