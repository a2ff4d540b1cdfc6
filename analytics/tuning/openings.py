"""Devices not flagged though a visit pays by their stated chance and the firm's costs."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from analytics.columns import CLASS_WORDS, VERDICT_WORDS, slot_word
from analytics.tuning.against import RECENT_DAYS
from analytics.tuning.choice import Costs
from analytics.warehouse import Warehouse

MOST_TOLD = 5
"""Devices that the command lists; chosen; the page has more, --json all."""


@dataclass(frozen=True)
class OpenDevice:
    """One device at its latest scan: what was said of it, its chance, heat ratio and load [1]."""

    reading_id: int
    inspection_id: str
    panel_id: str
    position: int
    inspected_at: dt.datetime
    office_id: str
    device_class: str
    verdict: str
    probability: float
    heat_ratio: float | None
    load_fraction: float | None


@dataclass(frozen=True)
class Openings:
    """Those of the last year that nobody examined, likeliest first, and from what chance [1]."""

    break_even: float
    devices: tuple[OpenDevice, ...]

    @property
    def sentence(self) -> str:
        """Return in one sentence how many there are and what to do."""
        number = len(self.devices)
        chance = f"{100 * self.break_even:.1f} %"
        if not number:
            return (
                f"No device that was not flagged in the last year and not examined has a stated "
                f"chance of {chance} or more, from which a visit pays."
            )
        who, has = ("device", "has") if number == 1 else ("devices", "have")
        return (
            f"{number:,} {who} of the last year, neither flagged nor examined, {has} a stated "
            f"chance of {chance} or more, from which a visit pays at these costs: have the "
            "likeliest examined first, whatever becomes of the lines."
        )

    def lines(self) -> list[str]:
        """Return the sentence and the likeliest few."""
        return [self.sentence, *(_words(one) for one in self.devices[:MOST_TOLD])]


def openings(warehouse: Warehouse, costs: Costs) -> Openings:
    """Return them from `tuning.candidate`."""
    rows = warehouse.rows(
        "tuning.open_device", break_even=costs.break_even, recent_days=RECENT_DAYS
    )
    return Openings(costs.break_even, tuple(OpenDevice(*row) for row in rows))


def _words(one: OpenDevice) -> str:
    return (
        f"  {one.inspection_id}, panel {one.panel_id}, slot {slot_word(one.position)}, "
        f"{one.inspected_at:%Y-%m-%d}, {CLASS_WORDS.get(one.device_class, one.device_class)}: "
        f"{VERDICT_WORDS[one.verdict]}, chance {100 * one.probability:.0f} %"
    )
