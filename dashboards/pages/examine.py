"""The devices to examine as a sheet to be printed: a row each, with a box to tick."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from markupsafe import Markup

from analytics.columns import FINDING_WORDS
from analytics.notices import CAUTIONS, SHORT_CAUTION
from dashboards.pages.parts import Table, count
from dashboards.pages.tuning_plan import HOW, draws

if TYPE_CHECKING:
    from dashboards.tuning import TuningRecord


@dataclass(frozen=True)
class ExaminePage:
    """What the sheet lays out; `found` are the words to choose from for what was found."""

    days: str
    headline: list[Markup]
    short_caution: str
    how: tuple[str, ...]
    devices: Table
    found: tuple[str, ...]
    cautions: tuple[str, ...]


def page(record: TuningRecord) -> ExaminePage:
    """Put the plan of a record on a sheet."""
    plan = record.plan
    fewer = f" More than these are not left, of {plan.asked:,} asked for." * (
        len(plan.draws) < plan.asked
    )
    return ExaminePage(
        days=f"Last scan {record.tuned.span.last_on:%Y-%m-%d}",
        headline=[
            Markup("<b>{}</b>, drawn at random within bands of evidence.{}").format(
                f"{count(len(plan.draws), 'device')} that were not flagged", fewer
            )
        ],
        short_caution=SHORT_CAUTION,
        how=HOW,
        devices=draws(plan),
        found=tuple(FINDING_WORDS.values()),
        cautions=CAUTIONS,
    )
