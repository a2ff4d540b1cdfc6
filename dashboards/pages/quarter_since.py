"""What became of the page before: its flags, its signals; and since when a signal goes on."""

from __future__ import annotations

from collections.abc import Callable

from analytics.trends.records import Signal, quarter_index, quarter_name
from dashboards.pages import quarter_signals as told
from dashboards.pages.parts import count
from dashboards.quarter_records import QuarterRecord, Referral


def sentence(record: QuarterRecord) -> str:
    """Say what became of what the page before pointed at; nothing where there is none."""
    before = [row.quarter for row in record.counts[:-1] if row.reading_count]
    if not before:
        return ""
    flags, gone = _flags(record, before[-1]), _gone(record, before[-1])
    if not flags and not gone:
        return ""
    return f"Since the page of {before[-1]}: {' '.join(part for part in (flags, gone) if part)}"


def _flags(record: QuarterRecord, quarter: str) -> str:
    one = next((one for one in record.referrals if one.quarter == quarter), None)
    if one is None:
        return "nothing was flagged in it."
    if one.flagged_count == 1:
        return f"its one flagged device {_single(one)}."
    seen = f"licensed electricians have examined {_examined(one)}"
    waiting = one.flagged_count - one.examined_count
    rest = f"; {waiting:,} still {'waits' if waiting == 1 else 'wait'}" if waiting else ""
    return f"of its {count(one.flagged_count, 'flagged device')} {seen}{rest}."


def _single(one: Referral) -> str:
    if not one.examined_count:
        return "still waits for a licensed electrician"
    return f"was examined, and {'' if one.confirmed.count else 'not '}confirmed"


def _examined(one: Referral) -> str:
    if not one.examined_count:
        return "none"
    who = "all" if one.examined_count == one.flagged_count else f"{one.examined_count:,}"
    confirmed = f"{one.confirmed.count:,} of them" if one.confirmed.count else "none"
    return f"{who}, and confirmed {confirmed}"


def _gone(record: QuarterRecord, quarter: str) -> str:
    """Name the signals of that quarter that do not show in this one; a change is no such signal."""
    now = {_key(one) for one in told.of_quarter(record)}
    kept = [
        one
        for one in told.of_quarter(record, quarter)
        if one.against in (told.PAST, told.OTHERS) and _key(one) not in now
    ]
    if not kept:
        return ""
    words = [one.brief for one in kept[: told.MOST_BRIEF]]
    rest = len(kept) - len(words)
    more = [f"and {rest} more"] if rest else []
    return f"No longer a signal: {'; '.join([*words, *more])} ({quarter})."


def _key(one: Signal) -> tuple[str, str, str, str]:
    return one.subject, one.level_name, one.measure, one.against


def run(record: QuarterRecord, fits: Callable[[Signal], bool]) -> str:
    """Say since when signals that fit have shown without a break: since 2024Q4, eight quarters.

    Nothing for the first quarter of such a signal.
    """
    held = {
        quarter_index(one.quarter)
        for one in (record.trends.signals if record.trends else ())
        if fits(one)
    }
    first = last = quarter_index(record.quarter)
    while first - 1 in held:
        first -= 1
    if first == last:
        return ""
    return f"since {quarter_name(first)}, {told.counted(last - first + 1)} quarters"
