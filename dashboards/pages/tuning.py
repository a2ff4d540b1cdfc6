"""The tuning page: where the lines could lie, what the findings say, how sure that is."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from analytics.notices import CAUTIONS, SHORT_CAUTION
from dashboards import theme
from dashboards.pages import (
    tuning_agreement,
    tuning_caught,
    tuning_chances,
    tuning_choice,
    tuning_decision,
    tuning_doing,
    tuning_findings,
    tuning_flips,
    tuning_headline,
    tuning_plan,
    tuning_policies,
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
        "For partial verification: within a band of evidence and load, and flagged or not alike, "
        "the examined stand for those that nobody examined (Begg and Greenes 1983).",
    ),
    ("in vain", "A visit to a flagged device that is sound."),
    (
        "surer",
        "Of the policies on the way to the one proposed that whose saving is the least in doubt: "
        "the nearest to the one in force whose interval has nearly the highest lower end.",
    ),
    (
        "between … and …",
        "Where no device that was not flagged was examined: all of them faulty at one end, none at "
        "the other.",
    ),
    (
        "lift",
        "Rise over the expected rise, in kelvins; a difference of 1 K is one of 1.8 °F.",
    ),
)
BESIDE = (
    ("index.html", "All quarters"),
    ("diagnostics.html", "What the verdicts rest on"),
)
"""Pages that this one links where they are in its folder: file, words."""
SECTIONS = (
    tuning_decision.section, tuning_choice.section, tuning_flips.section, tuning_doing.section,
    tuning_policies.policies, tuning_caught.section, tuning_flips.listed, tuning_chances.section,
    tuning_plan.section, tuning_findings.section, tuning_agreement.section,
)  # fmt: skip
"""In the order of the page: two sheets for who decides, then what stands in the appendix."""
OVER_RATING = "7"
"""Band of load above rating, as `load_band` numbers it."""
METHOD = (
    "Each candidate draws its four lines on the chance of a fault, the heat ratio, the lift and "
    "the load; the other lines stay as they are. Missed and in vain are counted from the shares "
    "found faulty in bands of evidence and load, pooled with the recalibrated chance where "
    "findings are few; their intervals draw whole panels anew. Intervals of the corrected shares "
    "need no such model: Wilson’s limits of the flagged and gamma limits of the missed, put "
    "together for their ratio (Donner and Zou 2012). A policy is recommended only where what it "
    "saves lies above 0 in 95 % of redrawn fleets and ten devices or more were examined where it "
    "differs from the one in force."
)
ASSUMES = (
    "All of this assumes that, of two devices with like evidence and load, flagged or not alike, "
    "the faulty one was no more likely to be examined than the sound one. Leave out findings of "
    "devices that an electrician was sent to because of smell, smoke or sound. A fault that the "
    "electrician overlooked counts as sound."
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
    beside: tuple[tuple[str, str], ...]


def page(record: TuningRecord, beside: tuple[tuple[str, str], ...] = ()) -> TuningPage:
    """Put a record into words, tables and figures; `beside` are (link, words) of other pages."""
    return TuningPage(
        days=_days(record),
        headline=tuning_headline.sentences(record),
        tiles=tuning_headline.tiles(record),
        short_caution=SHORT_CAUTION,
        sections=[one(record) for one in SECTIONS],
        glossary=GLOSSARY,
        method=(METHOD, f"{ASSUMES}{_overloaded(record)}"),
        notices=_notices(record),
        cautions=CAUTIONS,
        basis=_basis(record),
        beside=beside,
    )


def beside_in(folder: Path) -> tuple[tuple[str, str], ...]:
    """Return the pages to link that are in the folder: (link, words)."""
    return tuple(one for one in BESIDE if (folder / one[0]).is_file())


def headline_lines(record: TuningRecord) -> list[str]:
    """Return the headline as plain lines for a terminal."""
    return [sentence.striptags() for sentence in tuning_headline.sentences(record)]


def _notices(record: TuningRecord) -> tuple[str, ...]:
    """Return what is to be known first: a policy not screened with, then the rest."""
    first = (record.pending,) if record.pending else ()
    return (*first, *(one.sentence for one in record.tuned.notices))


def _days(record: TuningRecord) -> str:
    span = record.tuned.span
    return (
        f"Readings from {day(span.first_on)} to {day(span.last_on)}, "
        f"{count(span.quarters, 'quarter')}"
    )


def _overloaded(record: TuningRecord) -> str:
    """Say how many of the devices over their rating were examined: they were sent for by load."""
    over = [m for m in record.tuned.margins if (m.subject, m.level) == ("load", OVER_RATING)]
    if not over or not over[0].examined:
        return ""
    seen, total = over[0].examined, over[0].flagged + over[0].clear
    return (
        f" Over 100 % load {seen:,} of {total:,} were examined, since an overload brings an "
        "electrician by itself."
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
