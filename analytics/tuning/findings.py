"""The findings that do not count, and those that contradict another."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from analytics.columns import slot_word
from analytics.tuning.cells import build_findings, screened_policy
from analytics.tuning.telling import CODES, KINDS, contradict, findings
from analytics.warehouse import Warehouse

MOST_LISTED = 40
"""Findings listed of each kind; the rest is counted; chosen to fit two screens."""


@dataclass(frozen=True)
class SetAside:
    """A finding that does not count: why, and the reading it is guessed to speak of."""

    finding_id: int
    file_name: str
    inspection_id: str
    panel_id: str
    position: int
    found_at: dt.datetime | None
    finding: str
    code: str
    matched_by: str | None
    guessed_inspection_id: str | None
    guessed_position: int | None
    day_count: int | None


@dataclass(frozen=True)
class Contradiction:
    """Two findings that say otherwise of a device at a visit: the first stands, `kind` says why."""

    finding_id: int
    other_finding_id: int
    reading_id: int | None
    inspection_id: str
    panel_id: str
    position: int
    finding: str
    other_finding: str
    found_at: dt.datetime | None
    other_found_at: dt.datetime | None
    kind: str


@dataclass(frozen=True)
class Matched:
    """Everything about the findings that someone should look at."""

    set_aside: tuple[SetAside, ...]
    contradictions: tuple[Contradiction, ...]

    def lines(self) -> list[str]:
        """Return them in plain words, a line each."""
        return [
            f"{findings(len(self.set_aside))} set aside until that is put right:",
            *_first([_aside(one) for one in _ordered(self.set_aside)]),
            "",
            f"{contradict(len(self.contradictions))}:",
            *_first([_against(one) for one in self.contradictions]),
        ]


def matched(warehouse: Warehouse, *, is_guess_accepted: bool = False) -> Matched:
    """Match the findings and return what does not count and what contradicts."""
    screened_policy(warehouse)
    build_findings(warehouse, is_guess_accepted=is_guess_accepted)
    warehouse.build("tuning.contradiction")
    aside = tuple(SetAside(*row) for row in warehouse.rows("tuning.unmatched"))
    rows = warehouse.fetch("from tuning.contradiction order by finding_id, other_finding_id")
    return Matched(aside, tuple(Contradiction(*row) for row in rows))


def _ordered(aside: Sequence[SetAside]) -> list[SetAside]:
    """Return what can be put right first, first."""
    return sorted(aside, key=lambda one: list(CODES).index(one.code))


def _first(rows: list[str]) -> list[str]:
    more = len(rows) - MOST_LISTED
    rest = [f"  … and {more:,} more (--json has all)"] if more > 0 else []
    return [*rows[:MOST_LISTED], *rest]


def _aside(one: SetAside) -> str:
    guess = ""
    if one.code == "guess_not_confirmed":
        late = "" if one.day_count is None else f", {one.day_count} days before"
        guess = f": {one.guessed_inspection_id}, slot {slot_word(one.guessed_position or 0)}{late}"
    return (
        f"  {one.inspection_id}, panel {one.panel_id}, slot {slot_word(one.position)} "
        f"({one.file_name}), {_on(one.finding, one.found_at)}: {CODES[one.code]}{guess}"
    )


def _against(one: Contradiction) -> str:
    return (
        f"  {one.inspection_id}, panel {one.panel_id}, slot {slot_word(one.position)}: "
        f"{_on(one.finding, one.found_at)} stands, {_on(one.other_finding, one.other_found_at)} "
        f"does not: {KINDS[one.kind]}"
    )


def _on(finding: str, found_at: dt.datetime | None) -> str:
    then = f" of {found_at:%Y-%m-%d}" if found_at else " without a date"
    return f"{finding.replace('_', ' ')}{then}"
