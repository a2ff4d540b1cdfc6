"""Which past verdicts another policy would turn, with what was found of them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from analytics import querybook
from analytics.baseline import take_up
from analytics.columns import FINDING_WORDS, VERDICT_WORDS, slot_word
from analytics.errors import UsageError
from analytics.judging import CHAIN, verdict_parameters
from analytics.notices import Notice
from analytics.policy import Policy
from analytics.screening import judge_by
from analytics.tuning.cells import build_findings, screened_policy
from analytics.warehouse import Warehouse

MOST_SHOWN = 40
"""Flips printed each way; the rest is counted; chosen to fit two screens."""
RECENT_DAYS = 365
"""How long a scan tells of the device as it is [d]; chosen: what was scanned longer ago may have
been changed since."""


@dataclass(frozen=True)
class Turn:
    """How many past readings go from one verdict to another; `faulty` of the examined ones."""

    verdict: str
    new_verdict: str
    is_flag_changed: bool
    readings: int
    examined: int
    faulty: int

    @property
    def words(self) -> str:
        """Return from where to where."""
        return f"{VERDICT_WORDS[self.verdict]} → {VERDICT_WORDS[self.new_verdict]}"


@dataclass(frozen=True)
class Flip:
    """One reading whose flag changes: the verdict given, the one it would get, what was found.

    `is_latest` where its device was not scanned again since, `is_recent` within RECENT_DAYS of the
    last scan of all.
    """

    reading_id: int
    turn: str
    inspection_id: str
    panel_id: str
    position: int
    inspected_at: dt.datetime
    device_class: str
    verdict: str
    new_verdict: str
    probability: float
    heat_ratio: float | None
    load_fraction: float | None
    finding: str | None
    found_at: dt.datetime | None
    is_latest: bool
    is_recent: bool


@dataclass(frozen=True)
class Flips:
    """Every turn of a verdict counted, flags first, and those whose flag turns one by one."""

    former_version: str
    policy_version: str
    turns: tuple[Turn, ...]
    flips: tuple[Flip, ...]
    notices: tuple[Notice, ...] = ()

    @property
    def changed(self) -> int:
        """How many past verdicts would change in all."""
        return sum(one.readings for one in self.turns)

    @property
    def sentence(self) -> str:
        """Return in one sentence what would change, flags first."""
        if not self.turns:
            return "No past verdict would change."
        newly, no_longer = (len(self.of(turn)) for turn in ("newly flagged", "no longer flagged"))
        other = self.changed - newly - no_longer
        rest = [one for one in self.turns if not one.is_flag_changed]
        named = ", ".join(f"{one.readings:,} {one.words}" for one in rest[:2])
        more = (
            f"; of {other:,} the verdict changes and the flag does not ({named})" if other else ""
        )
        return (
            f"{self.changed:,} past verdicts would change: {newly:,} newly flagged, "
            f"{no_longer:,} no longer flagged{more}."
        )

    def of(self, turn: str) -> list[Flip]:
        """Return the flips one way, most likely faults first."""
        return [one for one in self.flips if one.turn == turn]

    def lines(self) -> list[str]:
        """Return it in plain words: all verdicts counted, then both ways, each with its finding."""
        return [
            *(notice.sentence for notice in self.notices),
            f"Policy {self.policy_version} in place of {self.former_version}, judged anew:",
            self.sentence,
            *_turn_lines(self.turns),
            *self._one_way("newly flagged"),
            *self._one_way("no longer flagged"),
        ]

    def _one_way(self, turn: str) -> list[str]:
        rows = self.of(turn)
        faulty = sum(one.finding in ("loose_connection", "device_fault") for one in rows)
        seen = sum(one.finding is not None for one in rows)
        head = f"{len(rows):,} {turn}; {seen:,} of them examined, {faulty:,} faulty."
        more = [f"  … and {len(rows) - MOST_SHOWN:,} more (--json has all)"]
        return [
            "",
            head,
            *(_words(one) for one in rows[:MOST_SHOWN]),
            *(more if len(rows) > MOST_SHOWN else []),
        ]


def flips(warehouse: Warehouse, policy: Policy, *, is_guess_accepted: bool = False) -> Flips:
    """Judge the readings of the last screening anew by `policy` and compare; nothing is kept.

    What is counted is what adopting it and screening again would change. Raises UsageError where a
    baseline was fitted since: the two would differ by more than a policy.
    """
    former = screened_policy(warehouse).version
    build_findings(warehouse, is_guess_accepted=is_guess_accepted)
    version, parameters = take_up(warehouse)
    screened_by = warehouse.fetch("select min(baseline_version) from screening.result")[0][0]
    if screened_by != version:
        raise UsageError(
            f"The verdicts rest on baseline {screened_by}, but {version} was fitted since.",
            "Run loadrise screen first.",
        )
    judge_by(warehouse, parameters, policy)
    sql = querybook.inlined("tuning.turned", CHAIN)
    warehouse.execute(
        f"create or replace table tuning.turned as\n{sql}", verdict_parameters(parameters, policy)
    )
    rows = warehouse.rows("tuning.flip", recent_days=RECENT_DAYS)
    turns = tuple(Turn(*row) for row in warehouse.rows("tuning.turn"))
    return Flips(former, policy.version, turns, tuple(Flip(*row) for row in rows))


def _turn_lines(turns: Sequence[Turn]) -> list[str]:
    if not turns:
        return []
    head = f"  {'verdict':<52}{'readings':>9}{'examined':>10}{'faulty':>8}"
    rows = [
        f"  {one.words:<52}{one.readings:>9,}{one.examined:>10,}{one.faulty:>8,}"
        f"{'  flag' if one.is_flag_changed else ''}"
        for one in turns
    ]
    return [head, *rows]


def _words(one: Flip) -> str:
    load = "" if one.load_fraction is None else f", load {100 * one.load_fraction:.0f} %"
    ratio = "" if one.heat_ratio is None else f", heat {one.heat_ratio:.1f} times"
    found = FINDING_WORDS.get(one.finding, one.finding) if one.finding else "not examined"
    return (
        f"  {one.inspection_id}, panel {one.panel_id}, slot {slot_word(one.position)}, "
        f"{one.inspected_at:%Y-%m-%d}: {VERDICT_WORDS[one.verdict]} becomes "
        f"{VERDICT_WORDS[one.new_verdict]}; chance {100 * one.probability:.0f} %{ratio}{load}; "
        f"{found}"
    )
