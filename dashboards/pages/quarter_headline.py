"""The quarter in three sentences and five numbers."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from dashboards import theme
from dashboards.pages.parts import count
from dashboards.quarter_records import QuarterCount, QuarterRecord, Share


@dataclass(frozen=True)
class Tile:
    """A number with its label and a remark; `verdict` names the mark beside it, if any."""

    label: str
    value: str
    remark: str
    verdict: str = ""


def sentences(record: QuarterRecord) -> list[Markup]:
    """Return three sentences: what came in, what was found, what changed."""
    now = record.now
    if not now.reading_count:
        return [_nothing(record)]
    return [_came_in(now), _found(now), _changed(record)]


def _nothing(record: QuarterRecord) -> Markup:
    held = ", ".join(one.quarter for one in record.held)
    rest = f"Quarters with readings: {held}." if held else "The store has no readings at all."
    return Markup("<b>There are no judged readings of {}.</b> {}").format(record.quarter, rest)


def _came_in(now: QuarterCount) -> Markup:
    return Markup(
        "In {}, <b>{}</b> {} scanned in {}, with <b>{}</b>; {} of them could be judged."
    ).format(
        now.quarter,
        count(now.panel_count, "panel"),
        "was" if now.panel_count == 1 else "were",
        count(now.inspection_count, "inspection"),
        count(now.reading_count, "reading"),
        f"{now.judged_count:,}",
    )


def _found(now: QuarterCount) -> Markup:
    if not now.judged_count:
        return Markup("<b>None could be judged</b>, so nothing can be said of faults or overloads.")
    start = (
        Markup("<b>None was flagged</b> {}").format(_bracket(now.flagged))
        if not now.flagged_count
        else Markup("<b>{} flagged</b>, {} {}, as hotter than the current explains").format(
            _were(now.flagged_count), theme.share(now.flagged.value), _bracket(now.flagged)
        )
    )
    both = f", {now.both_count:,} of them flagged as well" if now.both_count else ""
    return Markup("{}; <b>{} over the current limit</b>, {} {}{}.").format(
        start,
        f"{now.overload_count:,}",
        theme.share(now.overload.value),
        _bracket(now.overload),
        both,
    )


def _were(number: int) -> str:
    return f"{number:,} was" if number == 1 else f"{number:,} were"


def _bracket(one: Share) -> str:
    return f"(95 % interval {theme.interval(one.low, one.high)})"


def _changed(record: QuarterRecord) -> Markup:
    now, last = record.now, record.last
    if last is None:
        before = record.counts[-2].quarter if len(record.counts) > 1 else ""
        if before:
            return Markup("Nothing of {} could be judged, so there is no change to report.").format(
                before
            )
        return Markup("This is the first quarter in the store, so there is no change to report.")
    if now.flagged.value is None:
        return Markup("A change against {} cannot be told.").format(last.quarter)
    flagged = _move(now.flagged, last.flagged, now.flagged_change_low, now.flagged_change_high)
    over = _move(now.overload, last.overload, now.overload_change_low, now.overload_change_high)
    start = Markup("Against {} the flagged share moved by {} and the overload share by {}").format(
        last.quarter, flagged.text, over.text
    )
    if flagged.is_chance == over.is_chance:
        words = "no more" if over.is_chance else "more"
        return Markup("{}: both {} than chance brings.").format(start, words)
    words = "flagged share" if over.is_chance else "overload share"
    return Markup("{}: of the two only the {} moved more than chance brings.").format(start, words)


@dataclass(frozen=True)
class _Move:
    """A change in words, and whether its interval takes in no change."""

    text: Markup
    is_chance: bool


def _move(now: Share, last: Share, low: float | None, high: float | None) -> _Move:
    change = (now.value or 0.0) - (last.value or 0.0)
    low, high = low or 0.0, high or 0.0
    text = Markup("<b>{} points</b> (95 % interval {})").format(
        theme.share(change, is_signed=True).removesuffix(theme.PERCENT),
        theme.interval(low, high, is_signed=True).removesuffix(theme.PERCENT),
    )
    return _Move(text, low <= 0.0 <= high)


def tiles(record: QuarterRecord) -> list[Tile]:
    """Return the five numbers of the quarter."""
    now = record.now
    judged = theme.share(now.judged_count / now.reading_count) if now.reading_count else "–"
    return [
        Tile("panels", f"{now.panel_count:,}", count(now.inspection_count, "inspection")),
        Tile("readings", f"{now.reading_count:,}", f"{now.clamped_count:,} with a current"),
        Tile("judged", f"{now.judged_count:,}", f"{judged} of readings"),
        Tile("flagged", f"{now.flagged_count:,}", _of(now.flagged), "suspect_connection"),
        Tile("over the limit", f"{now.overload_count:,}", _of(now.overload), "overload"),
    ]


def _of(one: Share) -> str:
    if one.value is None:
        return "none judged"
    return f"{theme.share(one.value)} ({theme.interval(one.low, one.high)})"
