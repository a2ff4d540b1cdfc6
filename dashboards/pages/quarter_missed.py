"""Confirmed faults that were not flagged, and whether the stated chances came true."""

from __future__ import annotations

from math import fsum

from analytics.statistics.proportions import wilson
from dashboards import theme
from dashboards.pages.parts import count, listed
from dashboards.quarter_found import Chance
from dashboards.quarter_records import QuarterRecord

MISSED_SHARE = 0.2
"""Share of the confirmed faults that were not flagged from which it calls for something [1];
chosen: one in five, at the low end of Wilson's interval, so that a handful calls for nothing."""
SURE = 0.3
"""Stated chance from which the sentence tells the cases apart [1]; chosen: the usual line of a
flag, and an edge of the classes. Whether a device was flagged its verdict says."""

HOW = {
    "cannot_judge": "could not be judged",
    "normal": "had been judged normal",
    "recheck": "had a reading that contradicts itself",
    "overload": "had only been over the limit",
}
"""Verdict without a flag -> how the page says it."""


def counts(record: QuarterRecord) -> tuple[int, int]:
    """Return how many confirmed faults were in devices not flagged, and how many there are."""
    missed = sum(one.confirmed_count for one in record.verdicts if not one.is_flagged)
    return missed, sum(one.confirmed_count for one in record.verdicts)


def sentence(record: QuarterRecord) -> str:
    """Say how many confirmed faults had not been flagged, and why that is not the share missed."""
    missed, whole = counts(record)
    if not whole:
        return ""
    were = "was in a device" if missed == 1 else "were in devices"
    part = f"{missed:,} ({theme.share(missed / whole)})" if missed else "none"
    start = (
        f"Of the {count(whole, 'fault')} that licensed electricians confirmed in devices scanned "
        f"up to {record.quarter}, {part} {were} that had not been flagged{_how(record)}."
    )
    return f"{start} {_not_all(record)}"


def _how(record: QuarterRecord) -> str:
    rows = {one.verdict: one for one in record.verdicts if one.confirmed_count}
    words = []
    for verdict, how in HOW.items():
        if verdict in rows:
            one = rows[verdict]
            bare = f" ({one.bare_count:,} read without a current)" if one.bare_count else ""
            is_told = verdict == "cannot_judge"
            words.append(f"{one.confirmed_count:,} {how}{bare if is_told else ''}")
    return f": {listed(words)}" if words else ""


def _not_all(record: QuarterRecord) -> str:
    """Say how little of the rest was examined, and what estimates the share missed."""
    flagged, rest = (
        (sum(one.examined_count for one in rows), sum(one.reading_count for one in rows))
        for rows in (
            [one for one in record.verdicts if one.is_flagged],
            [one for one in record.verdicts if not one.is_flagged],
        )
    )
    return (
        f"Only some were examined, {flagged[0]:,} of {flagged[1]:,} flagged and {rest[0]:,} of the "
        f"{rest[1]:,} others, and not at random: the share missed of all faults is larger or "
        "smaller than that. loadrise tune estimates it."
    )


def is_substantial(record: QuarterRecord) -> bool:
    """Whether so many of the confirmed faults were not flagged that something is to be done."""
    missed, whole = counts(record)
    return bool(whole) and float(wilson(missed, whole)[0]) >= MISSED_SHARE


def action(record: QuarterRecord) -> tuple[str, str]:
    """Return what to do against missed faults, and why; two blanks where nothing calls for it."""
    if not is_substantial(record):
        return "", ""
    missed, whole = counts(record)
    rows = {one.verdict: one for one in record.verdicts}
    parts = []
    bare = rows["cannot_judge"].bare_count if "cannot_judge" in rows else 0
    if bare:
        parts.append(
            f"{bare:,} of them {'was' if bare == 1 else 'were'} read without a current: clamp what "
            "is warm."
        )
    if "normal" in rows and rows["normal"].confirmed_count:
        parts.append(f"For the {rows['normal'].confirmed_count:,} judged normal {_weigh(record)}.")
    parts.append("As only some were examined, the share missed may be larger or smaller.")
    what = f"Miss fewer faults: {missed:,} of {whole:,} confirmed ones had not been flagged."
    return what, " ".join(parts)


def _weigh(record: QuarterRecord) -> str:
    off = [words for words, part in _parts(record) if _verdict(part) != STATED]
    if not off:
        return "weigh where the lines lie (loadrise tune)"
    return (
        f"mend the stated chances first (loadrise recalibrate), as those {listed(off)} did not "
        "come true, then weigh where the lines lie (loadrise tune)"
    )


STATED = "about as many as stated"


def _parts(record: QuarterRecord) -> list[tuple[str, list[Chance]]]:
    high = [one for one in record.chances if one.low >= SURE]
    low = [one for one in record.chances if one.low < SURE]
    named = ((f"from {theme.share(SURE)} on", high), (f"below {theme.share(SURE)}", low))
    return [(words, part) for words, part in named if part]


def chance_sentence(record: QuarterRecord) -> str:
    """Say whether stated chances came true, up to the quarter; nothing without findings."""
    told = [_came_true(words, part) for words, part in _parts(record)]
    if not told:
        return ""
    return (
        f"Did the stated chances come true? Of the devices that were examined: {'; '.join(told)}. "
        "An overload found does not confirm, a reading that contradicts itself is left out, and "
        "electricians also find faults too small for the chance to speak of."
    )


def _came_true(words: str, part: list[Chance]) -> str:
    """Set what was confirmed beside what the chances add up to."""
    return (
        f"with a chance {words} {_sum(part, 'confirmed_count'):,} of "
        f"{_sum(part, 'examined_count'):,} were confirmed, where the chances add up to "
        f"{fsum(one.expected for one in part):.1f}: {_verdict(part)}"
    )


def _sum(part: list[Chance], name: str) -> int:
    return sum(getattr(one, name) for one in part)


def _verdict(part: list[Chance]) -> str:
    """Tell whether the mean stated chance lies within Wilson's interval of the share confirmed."""
    seen, confirmed = _sum(part, "examined_count"), _sum(part, "confirmed_count")
    low, high = (float(end) for end in wilson(confirmed, seen))
    stated = fsum(one.expected for one in part) / seen
    if low <= stated <= high:
        return STATED
    return "more than that" if stated < low else "fewer than that"
