"""The tuning page: where the lines could lie, what the findings say, how sure that is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from analytics.notices import CAUTIONS, SHORT_CAUTION
from dashboards import theme
from dashboards.pages import (
    tuning_agreement,
    tuning_caught,
    tuning_chances,
    tuning_choice,
    tuning_findings,
    tuning_flips,
    tuning_headline,
    tuning_plan,
)
from dashboards.pages.parts import count
from dashboards.pages.tuning_words import TuningSection, day

if TYPE_CHECKING:
    from markupsafe import Markup

    from dashboards.pages.quarter_headline import Tile
    from dashboards.tuning import TuningRecord

GLOSSARY = (
    (
        "flagged",
        "Suspected of a connection or device fault, alone or with an overload: what a policy "
        "sends an electrician to.",
    ),
    ("fault", "A loose connection or a device fault, as an electrician reported it."),
    (
        "corrected",
        "For partial verification: within a band of evidence, and given whether it was flagged, "
        "the examined stand for those that nobody examined (Begg and Greenes 1983).",
    ),
    ("in vain", "A visit to a flagged device that is sound."),
    (
        "bound",
        "Where no device of the rest was examined: all of them faulty at one end, none at the "
        "other.",
    ),
    (
        "lift",
        "Rise over the expected rise, in kelvins; a difference of 1 K is one of 1.8 °F.",
    ),
)
METHOD = (
    "Each candidate draws its four lines on the chance of a fault, the heat ratio, the lift and "
    "the load; the other lines stay as they are. Missed and in vain are counted from the shares "
    "found faulty in bands of evidence, pooled with the recalibrated chance where findings are "
    "few; their intervals draw whole panels anew. Intervals of the corrected shares need no "
    "such model: Wilson’s limits of the flagged and gamma limits of the missed, put together by "
    "MOVER. A policy is recommended only where what it saves lies above 0 in 95 % of redrawn "
    "fleets and ten devices or more were examined where it differs from the one in force."
)
ASSUMES = (
    "All of this holds as long as, within a band of evidence, who is examined has nothing to do "
    "with what is wrong: findings of devices that were sent for by smell, smoke or sound belong "
    "left out. A fault that the electrician overlooked counts as sound."
)


@dataclass(frozen=True)
class TuningPage:
    """Everything the template lays out; plain text unless it is Markup."""

    days: str
    headline: list[Markup]
    tiles: list[Tile]
    short_caution: str
    sections: list[TuningSection]
    glossary: tuple[tuple[str, str], ...]
    method: tuple[str, ...]
    notices: tuple[str, ...]
    cautions: tuple[str, ...]
    basis: str


def page(record: TuningRecord) -> TuningPage:
    """Put a record into words, tables and figures."""
    return TuningPage(
        days=_days(record),
        headline=tuning_headline.sentences(record),
        tiles=tuning_headline.tiles(record),
        short_caution=SHORT_CAUTION,
        sections=[
            tuning_choice.section(record),
            tuning_caught.section(record),
            tuning_flips.section(record),
            tuning_chances.section(record),
            tuning_plan.section(record),
            tuning_findings.section(record),
            tuning_agreement.section(record),
        ],
        glossary=GLOSSARY,
        method=(METHOD, ASSUMES),
        notices=tuple(one.sentence for one in record.tuned.notices),
        cautions=CAUTIONS,
        basis=_basis(record),
    )


def headline_lines(record: TuningRecord) -> list[str]:
    """Return the headline as plain lines for a terminal."""
    return [sentence.striptags() for sentence in tuning_headline.sentences(record)]


def _days(record: TuningRecord) -> str:
    span = record.tuned.span
    return (
        f"Readings from {day(span.first_on)} to {day(span.last_on)}, "
        f"{count(span.quarters, 'quarter')}"
    )


def _basis(record: TuningRecord) -> str:
    span = record.tuned.span
    return (
        f"{count(span.readings, 'reading')} that a policy can flag, of "
        f"{count(span.panels, 'panel visit')}; {span.outside:,} without a current, or that "
        "contradict themselves, stand outside. Policy in force "
        f"{theme.printable(span.policy_version)}, baseline "
        f"{theme.printable(span.baseline_version)}."
    )
