"""Which past verdicts another policy would turn over, with what was found of them."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from analytics import querybook
from analytics.baseline import take_up
from analytics.errors import UsageError
from analytics.judging import CHAIN, verdict_parameters
from analytics.policy import Policy
from analytics.screening import judge_by
from analytics.tuning.cells import build_findings, screened_policy
from analytics.warehouse import Warehouse

MOST_SHOWN = 40
"""Flips printed each way; the rest is counted; chosen to fit two screens."""


@dataclass(frozen=True)
class Flip:
    """One reading whose flag changes: the verdict given, the one it would get, what was found."""

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


@dataclass(frozen=True)
class Flips:
    """All of them, most likely faults first, both ways."""

    former_version: str
    policy_version: str
    flips: tuple[Flip, ...]

    def lines(self) -> list[str]:
        """Return them in plain words, both ways, each with its finding."""
        head = f"Policy {self.policy_version} in place of {self.former_version}, judged anew:"
        return [head, *self._one_way("newly flagged"), *self._one_way("no longer flagged")]

    def _one_way(self, turn: str) -> list[str]:
        rows = [one for one in self.flips if one.turn == turn]
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

    Raises UsageError where a baseline was fitted since: the two would differ by more than a policy.
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
    sql = querybook.inlined("tuning.flip", CHAIN)
    rows = warehouse.fetch(sql, verdict_parameters(parameters, policy))
    return Flips(former, policy.version, tuple(Flip(*row) for row in rows))


def _words(one: Flip) -> str:
    load = "" if one.load_fraction is None else f", load {100 * one.load_fraction:.0f} %"
    ratio = "" if one.heat_ratio is None else f", heat {one.heat_ratio:.1f} times"
    found = one.finding.replace("_", " ") if one.finding else "not examined"
    return (
        f"  {one.inspection_id}, panel {one.panel_id}, slot {one.position}, "
        f"{one.inspected_at:%Y-%m-%d}: {one.verdict} becomes {one.new_verdict}; chance "
        f"{100 * one.probability:.0f} %{ratio}{load}; {found}"
    )
