"""Words about findings and readings that the command and the page share."""

from __future__ import annotations

import math
import textwrap
from typing import TYPE_CHECKING

from analytics.columns import CLASS_WORDS, LOAD_WORDS
from analytics.notices import Notice

if TYPE_CHECKING:
    from analytics.tuning.choice import Costs
    from analytics.tuning.openings import Openings
    from analytics.tuning.report import Found, Span

CODES = {
    "no_reading_of_it": "of a reading that was never read in",
    "guess_not_confirmed": "guessed to belong to a reading; confirm with --accept-guesses",
    "before_scan": "dated before the scan that it is of",
    "in_future": "dated after the day on which it was read in",
    "not_by_licensed": "not by a licensed electrician",
}
"""Why a finding is set aside, in plain words."""
KINDS = {
    "corrected": "a later row of the same time found corrects the former",
    "found_before": "a fault or overload that was found stands against a later look, which most "
    "likely saw a mended device",
    "found_over": "of two looks at one time the one that found more stands",
    "later": "of two examinations the later stands",
}
"""Why one of two findings that contradict stands, in plain words."""

TEXT_WIDTH = 100
"""Width at which sentences are broken, in characters; as the command line's."""


def findings(count: int) -> str:
    """Write a count of findings."""
    return f"{count:,} finding{'' if count == 1 else 's'}"


def contradict(count: int) -> str:
    """Say how many findings another one contradicts."""
    verb = "is contradicted" if count == 1 else "are contradicted"
    return f"{findings(count)} {verb} by another"


def unreachable(span: Span, found: Found) -> str:
    """Say of how many readings no policy can say anything, and what would help."""
    total = span.readings + span.outside
    if not span.outside:
        return f"A policy can flag any of the {total:,} readings."
    other = span.outside - found.unclamped
    rest = f", {other:,} more contradict themselves or lack a temperature" if other else ""
    seen = (
        f" Of these {found.outside_examined:,} were examined and {found.outside_faulty:,} were "
        "faulty."
        if found.outside_examined
        else " None of these was examined."
    )
    return (
        f"{found.unclamped:,} of {total:,} readings ({100 * found.unclamped / total:.0f} %) were "
        f"taken without a current{rest}: no policy flags a fault there, wherever the lines lie."
        f"{seen} Clamping the current may be worth more than moving any line."
    )


def dear_visit(costs: Costs | None) -> list[Notice]:
    """Ask back where a visit in vain is set dearer than a missed fault."""
    if costs is None or costs.missed >= costs.visit:
        return []
    return [
        Notice(
            "visit_dearer",
            f"A visit in vain is set at {costs.visit:,.15g} and a missed fault at "
            f"{costs.missed:,.15g}: is a visit really dearer than a missed fault, or were the two "
            "exchanged?",
        )
    ]


def about(value: float, digits: int = 2) -> str:
    """Write money in two digits, since no more are known: 17,278 as 17,000.

    Of costs that are set beside each other three, or their difference would be lost.
    """
    if not math.isfinite(value) or value == 0:
        return f"{value:,.0f}"
    step = 10.0 ** max(math.floor(math.log10(abs(value))) - digits + 1, 0)
    return f"{step * round(value / step):,.0f}".replace("-", "−")


def open_lines(found: Openings | None) -> list[str]:
    """Return the devices that a visit would pay for as lines; none without costs."""
    if found is None:
        return []
    head, *rows = found.lines()
    return ["", *textwrap.wrap(head, TEXT_WIDTH), *rows]


def level_word(subject: str, level: str) -> str:
    """Name a level of class, load or office as the pages do."""
    if subject == "load":
        return LOAD_WORDS[int(level) - 1]
    return CLASS_WORDS.get(level, level) if subject == "class" else level
