"""The trends in plain lines, as the command prints them."""

from __future__ import annotations

import textwrap

from analytics.trends.records import PAST, Counted, Move, Signal, Trends, quarter_index
from analytics.trends.sentences import in_words

WIDTH = 100
"""Characters a line; chosen to fit a terminal."""


def lines(trends: Trends, *, is_all: bool = False) -> list[str]:
    """Return the quarter's shares, changes with the mix held, and signals, new ones first."""
    now = [one for one in trends.quarters if one.quarter == trends.quarter]
    told = [f"Trends up to {trends.quarter}, {len(trends.quarters)} quarters with judged readings."]
    told += [f"Note: {notice.sentence}" for notice in trends.notices]
    for one in now:
        told.append(_share("Flagged", one.flagged))
        told.append(_share("Over the current limit", one.overload))
    told += _earlier(trends)
    if trends.moves:
        told.append(
            "Like for like, the mix of classes, loads, air temperatures and offices held equal:"
        )
    told += [_move(one) for one in trends.moves]
    told += ["", *_signal_lines(trends)]
    if is_all:
        earlier = [s for s in trends.signals if s.quarter != trends.quarter]
        told += ["", f"Signals of earlier quarters: {len(earlier) or 'none'}."]
        told += [_bullet(f"{s.quarter}: {s.sentence}") for s in earlier]
    return told


def _earlier(trends: Trends) -> list[str]:
    """Name the earlier quarters whose shares lay outside their limits."""
    told = []
    for word, measure in (("Flagged", "flagged"), ("Over the current limit", "overload")):
        out = outside(trends, measure)
        if out:
            names = ", ".join(f"{name} ({100 * one.share:.2f} %)" for name, one in out)
            told.append(f"{word}, earlier quarters outside their chart’s limits: {names}.")
    return told


def outside(trends: Trends, measure: str) -> list[tuple[str, Counted]]:
    """Return the earlier quarters in which a share, flagged or overload, lay outside its limits."""
    shares = [
        (one.quarter, one.flagged if measure == "flagged" else one.overload)
        for one in trends.quarters
        if one.quarter < trends.quarter
    ]
    return [(name, one) for name, one in shares if one.is_out]


def _signal_lines(trends: Trends) -> list[str]:
    here = [s for s in trends.signals if s.quarter == trends.quarter]
    head = f"{trends.tested_count:,} comparisons looked at in {trends.quarter}; "
    if not here:
        return [head + "none shows more than chance brings."]
    new = sorted(here, key=lambda s: not s.is_new)
    head += f"{len(here)} signal{'s' if len(here) != 1 else ''}:"
    return [head, *(_bullet(f"{age(s)[0].upper()}{age(s)[1:]}: {s.sentence}") for s in new)]


def age(one: Signal) -> str:
    """Tell whether a signal is new, or since when it was named and in how many quarters.

    What counts several quarters together holds for its span, not since it was told: there the
    pages are named. Quarters without it, as when too little was read to test it, are counted
    against those.
    """
    if one.is_new or not one.held_since:
        return "new"
    span = quarter_index(one.quarter) - quarter_index(one.held_since) + 1
    if is_over_span(one):
        if one.held_count == 2:
            return f"also on the page of {one.held_since}"
        pages = "all" if span == one.held_count else f"{in_words(one.held_count)} of the"
        return f"on {pages} {in_words(span)} pages from {one.held_since} on"
    of = "" if span == one.held_count else f" of {in_words(span)}"
    return f"since {one.held_since}, {in_words(one.held_count)}{of} quarters"


def is_over_span(one: Signal) -> bool:
    """Whether a signal counts several quarters together; a course against its past does not."""
    is_course = one.against == PAST and one.measure in ("deviation", "heat")
    return one.since != one.quarter and not is_course


def _bullet(text: str) -> str:
    return textwrap.fill(text, WIDTH, initial_indent="- ", subsequent_indent="  ")


def _share(word: str, one: Counted) -> str:
    out = ", outside its chart’s limits" if one.is_out else ""
    return (
        f"{word}: {one.count:,} of {one.total:,} judged, {100 * one.share:.2f} % "
        f"(95 % interval {100 * one.low:.2f} to {100 * one.high:.2f} %){out}."
    )


def _move(one: Move) -> str:
    word = "Flagged share" if one.measure == "flagged" else "Overload share"
    against = one.against if one.against.startswith("a quarter") else f"against {one.against}"
    chance = "no more than chance brings"
    if one.is_change:
        chance = f"p = {one.p_value:.3f}, {one.q_value:.3f} with all of these allowed for"
    elif one.low * one.high > 0:
        chance = "not yet certain with all of these compared"
    size, low, high = (
        f"{100 * x:+.2f}".replace("-", "−") for x in (one.difference, one.low, one.high)
    )
    return f"{word}: {size} points {against} (95 % interval {low} to {high}; {chance})."
