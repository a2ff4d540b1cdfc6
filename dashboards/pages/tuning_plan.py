"""Which devices that were not flagged to have examined next."""

from __future__ import annotations

from typing import TYPE_CHECKING

from analytics.tuning.plan import band_words
from dashboards import theme
from dashboards.pages.parts import Table, count, table
from dashboards.pages.tuning_words import (
    Block,
    TuningSection,
    chance,
    class_word,
    day,
    slot,
    verdict,
)

if TYPE_CHECKING:
    from analytics.tuning import Plan
    from dashboards.tuning import TuningRecord

ASKS = (
    "Which devices that were not flagged tell most about the faults that are missed: drawn at "
    "random within bands of evidence, more from where a visit teaches more."
)


HOW = (
    "Have every one of them examined by a licensed electrician, whatever it looks like: a pick "
    "among them would put the shares off.",
    "Report “nothing found” as well; it is most of what is learned. Give visit, panel and slot as "
    "in the list, so that the finding counts without a guess.",
    "Read the findings in and tune again; the same store draws the same devices. The share drawn "
    "is that of all devices of like evidence which were neither flagged nor examined.",
)


def section(record: TuningRecord) -> TuningSection:
    """Return the section; where every device was examined it says so."""
    heading, plan = "Which devices to examine next", record.plan
    if not plan.draws:
        return TuningSection(
            "plan", heading, ASKS, "No device is left that was not examined.", (), True
        )
    blocks = (
        Block("By band of evidence", (), None, (_bands(plan),)),
        Block("How to go about it", HOW),
    )
    return TuningSection("plan", heading, ASKS, _answer(record), blocks, is_appendix=True)


def _answer(record: TuningRecord) -> str:
    return (
        f"{count(len(record.plan.draws), 'device')} drawn of those that were neither flagged nor "
        "examined, none scanned longer than a year before the last scan. The list, to be printed "
        "with boxes to tick, is examine.html beside this page, and examine.csv for a sheet."
    )


def _bands(plan: Plan) -> Table:
    rows = [(band_words(band), f"{open_:,}", f"{drawn:,}") for band, open_, drawn in plan.bands]
    return table("Bands of evidence", ("stated chance", "open", "drawn"), rows)


def draws(plan: Plan) -> Table:
    """Return the devices drawn, to be printed on their own."""
    headers = (
        "visit",
        "panel",
        "slot",
        "day",
        "office",
        "class",
        "verdict",
        "chance",
        "share drawn",
    )
    rows = [
        (
            theme.printable(one.inspection_id),
            theme.printable(one.panel_id),
            slot(one.position),
            day(one.inspected_at),
            theme.printable(one.office_id),
            class_word(one.device_class),
            verdict(one.verdict),
            chance(one.probability),
            theme.share(one.drawn_share),
        )
        for one in plan.draws
    ]
    return table("Devices to examine", headers, rows, 7, "list")
