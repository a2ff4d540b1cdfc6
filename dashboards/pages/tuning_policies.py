"""The policies worth seeing in one table, for the appendix."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dashboards import theme
from dashboards.pages import tuning_pays
from dashboards.pages.parts import Table, count, table
from dashboards.pages.tuning_choice import cost_of, load_of, mark_of
from dashboards.pages.tuning_words import Block, TuningSection, ends, per_quarter, rate

if TYPE_CHECKING:
    from dashboards.tuning import TuningRecord


def policies(record: TuningRecord) -> TuningSection:
    """Return the table of policies for the appendix, and how one of them is chosen."""
    heading, asks = "The policies worth seeing", "What each of them flags, misses and costs."
    if record.is_blind:
        return TuningSection("policies", heading, asks, "No policy can be weighed yet.", (), True)
    shown = Block("Side by side", (), None, (_table(record),), is_wide=True)
    blocks: tuple[Block, ...] = (shown,)
    if record.tuned.consequences is not None:
        blocks = (shown, Block("How the choice is made", tuning_pays.how(record)))
    shown_count = count(len(record.tuned.candidates), "policy", "policies")
    answer = f"{shown_count} are shown of those tried."
    return TuningSection("policies", heading, asks, answer, blocks, is_appendix=True)


def _table(record: TuningRecord) -> Table:
    shown = record.tuned.candidates
    body = [
        (
            mark_of(record, one),
            f"{100 * one.probability:g}{theme.PERCENT}",
            f"{one.heat_ratio:g}",
            f"{one.lift_k:g}",
            load_of(one),
            rate(one.sensitivity),
            f"{per_quarter(one.missed)} ({ends(one.missed_spread)})",
            f"{per_quarter(one.wasted)} ({ends(one.wasted_spread)})",
            cost_of(one),
            f"{one.flags_per_100_panels:.1f}",
            rate(one.false_alarm_share),
        )
        for one in shown
    ]
    headers = (
        "mark", "chance", "ratio", "lift, K", "load", "faults flagged", "missed", "in vain",
        "cost", "flags in 100 panels", "sound flagged",
    )  # fmt: skip
    words = "Policies of the line, a quarter, each with its 95 % intervals"
    return table(words, headers, body, kind="many")
