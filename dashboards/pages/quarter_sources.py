"""Where a change of a share comes from, in a sentence: the classes and offices that make it up."""

from __future__ import annotations

from collections.abc import Sequence
from math import fsum

from analytics.trends.records import PAST, Source
from analytics.trends.sources import telling
from dashboards.pages.parts import listed
from dashboards.pages.quarter_words import amount, by_name, shown_name
from dashboards.quarter_records import QuarterRecord

MOST_OFFICES = 4
"""Offices of which each is told [1]; chosen: a sentence holds no more."""
FOUND = {"flagged": "flagged", "overload": "over the limit"}


def words(record: QuarterRecord, measure: str, against: str) -> str:
    """Say which classes account for most of a change, and what each office adds; else nothing.

    Only for a change that is more than chance brings: whoever asks has to know that.
    """
    held = [
        one
        for one in (record.trends.sources if record.trends else ())
        if (one.measure, one.against) == (measure, against)
    ]
    classes = [one for one in held if one.subject == "class"]
    named = telling(classes)
    if not named:
        return ""
    whole = fsum(one.difference for one in classes)
    earlier = (
        "expected" if against == PAST else "the shares of the quarter before would have brought"
    )
    return (
        f" Of the {amount(abs(whole), 0)} {_more(whole)} {FOUND[measure]} than {earlier}, "
        f"{listed([_class(one) for one in named])}"
        f"{_offices([one for one in held if one.subject == 'office'])}. "
        "That is arithmetic, not proof of a cause."
    )


def _more(difference: float) -> str:
    return "more" if difference > 0 else "fewer"


def _class(one: Source) -> str:
    return (
        f"{amount(abs(one.difference), 0)} are of class {shown_name('class', one.level_name)} "
        f"({one.hit_count:,} of {one.judged_count:,}, before {one.earlier_hit_count:,} of "
        f"{one.earlier_judged_count:,})"
    )


def _offices(rows: Sequence[Source]) -> str:
    """Tell every office's part where they are few, by name; else those that account for most."""
    noted = [one for one in rows if one.level_name != "not noted"]
    if len(noted) < 2:
        return ""
    some = noted if len(noted) <= MOST_OFFICES else telling(noted)
    if not some:
        return ""
    some = sorted(some, key=lambda one: by_name(one.level_name))
    parts = [
        f"{shown_name('office', one.level_name)} {amount(abs(one.difference), 0)} "
        f"{_more(one.difference)}"
        for one in some
    ]
    return f"; office by office, {listed(parts)}"
