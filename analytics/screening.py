"""Screening: the baseline and policy in force laid on every reading, verdict and reason out."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from analytics import columns, history, querybook
from analytics.baseline import renew_measures, take_up
from analytics.judging import CHAIN, Span, chain_parameters, lay_evidence
from analytics.policy import Policy
from analytics.settings import BaselineSettings
from analytics.statistics.figures import DOUBT, RATIO_STEP
from analytics.statistics.sourced import Array
from analytics.warehouse import Warehouse

AT_ONCE = 500_000
"""Readings judged at once [1]; chosen: the wide tables beside them stay below a gigabyte, and half
as many cost 2 % more processor time."""
SURROUNDED = 200_000
"""Readings from which it is learned what usually sits around a device [1]; chosen: its mean is then
known to a hundredth of a kelvin."""

SIZE_BINS = SPREAD_BINS = np.arange(-24, 33)
"""Bins of `judging.notice`, as the macro `notice_bin` counts them."""


@dataclass(frozen=True)
class ScreeningSummary:
    """How many readings were judged how, under which policy and baseline."""

    verdict_counts: dict[str, int]
    policy_version: str
    baseline_version: str
    changed_count: int
    """Verdicts that are new or read otherwise than those of the screening before."""

    def lines(self) -> list[str]:
        """Return the summary in plain words, one line a verdict."""
        total = sum(self.verdict_counts.values())
        words = [
            f"{self.verdict_counts.get(name, 0):>9,}  {name.replace('_', ' ')}: {meaning}"
            for name, meaning in columns.VERDICTS.items()
        ]
        head = f"{total:,} readings judged (policy {self.policy_version}, baseline "
        tail = (
            f"{self.changed_count:,} are new or read otherwise than before; the history has them."
        )
        return [head + f"{self.baseline_version}).", *words, tail]


def screen(
    warehouse: Warehouse, policy: Policy | None = None, today: dt.date | None = None
) -> ScreeningSummary:
    """Judge every current reading; `screening.result` is replaced in one transaction.

    Without a policy it is the one in force `today`, by default the clock's day. What changed goes
    to the history. Raises NotEnoughDataError where no baseline has been fitted yet.
    """
    chosen = policy or history.policy_in_force(warehouse, today or dt.date.today())
    version, parameters = take_up(warehouse)
    with warehouse.transaction():
        renew_measures(warehouse, BaselineSettings())
    judge_by(warehouse, parameters, chosen)
    with warehouse.transaction():
        history.set_earlier_aside(warehouse)
        _put_result(warehouse, parameters, chosen, version)
        warehouse.build("screening.terminal")
        changed = history.record_verdicts(warehouse, chosen, version)
        _keep(warehouse, chosen, version)
    counts = warehouse.fetch(
        "select verdict, count(*) from screening.result group by verdict order by verdict"
    )
    return ScreeningSummary(dict(counts), chosen.version, version, changed)


def judge_by(warehouse: Warehouse, parameters: dict[str, Any], policy: Policy) -> None:
    """Weigh and rank the measures in the store by a baseline taken up; nothing is kept.

    What the queries of `judging.CHAIN` read is there then: evidence, ranks and notices.
    """
    lay_evidence(warehouse, parameters, policy, _spans(warehouse, "normalise.visit", "visit_id"))
    _compare(warehouse, policy)
    put_notice(warehouse, policy)


def _spans(warehouse: Warehouse, table: str, key: str) -> list[Span]:
    """Return spans of a number that cover the table, each with about AT_ONCE readings at most."""
    found = warehouse.fetch(
        f"select min({key}), max({key}), (select count(*) from normalise.reading) from {table}"
    )
    first, last, readings = (one or 0 for one in found[0])
    spans = max(1, math.ceil(readings / AT_ONCE))
    edges = [first + (last + 1 - first) * i // spans for i in range(spans + 1)]
    return [(low, high - 1) for low, high in pairwise(edges)]


def _put_result(
    warehouse: Warehouse, parameters: dict[str, Any], policy: Policy, baseline_version: str
) -> None:
    """Write `screening.result`, one span of readings after the other."""
    sql = querybook.inlined("screening.result", CHAIN)
    versions = {"policy_version": policy.version, "baseline_version": baseline_version}
    head = "create or replace table screening.result as"
    for span in _spans(warehouse, "normalise.reading", "reading_id"):
        params = chain_parameters(parameters, policy, span)
        warehouse.execute(f"{head}\n{sql}", params | versions)
        head = "insert into screening.result by name"


def _keep(warehouse: Warehouse, policy: Policy, baseline_version: str) -> None:
    """Keep what a second opinion on a single reading needs beside the baseline: small tables."""
    warehouse.build("screening.rank_point")
    warehouse.copy("judging.notice", "screening.notice")
    warehouse.copy("judging.warm_share", "screening.warm_share")
    count = warehouse.fetch("select count(*) from normalise.measure")[0][0]
    warehouse.build("screening.surround", every=max(1, count // SURROUNDED))
    warehouse.build(
        "screening.basis", policy_version=policy.version, baseline_version=baseline_version
    )


def _compare(warehouse: Warehouse, policy: Policy) -> None:
    """Rank the readings among each other."""
    warehouse.build("judging.rank")
    warehouse.build("judging.hottest")
    warehouse.build("judging.discovery")
    warehouse.drop("judging.hottest")
    warehouse.build("judging.warm_share", **policy.calibration())


def put_notice(warehouse: Warehouse, policy: Policy) -> None:
    """Write the residual [healthy spreads] at which a reading would be flagged, by size and spread.

    Grid of quarter octaves of the load-driven rise in spreads and of the spread in kelvins; the
    chance of a material fault is the same sum that the evidence uses, here over a grid. By the
    shared lines first, at place 0, then by those of each class that has its own, counted from 1.
    """
    freedom, temper, scale, ratios, weights, share, face = warehouse.fetch(
        "select freedom, temper, tail_scale, ratios, weights, terminal_share, face_per_terminal "
        "from baseline.mixture where pole_family = 'one_pole' and is_working"
    )[0]
    size, z, ratio = 2.0 ** ((SIZE_BINS + 0.5) / 4.0), np.arange(0.0, 30.0, 0.05), np.array(ratios)
    ratio_density = (1.0 + (z / scale) ** 2 / freedom)[None, :, None] / (
        1.0 + ((z[None, :, None] - ratio * size[:, None, None]) / scale) ** 2 / freedom
    )
    likelihood = np.array(weights) * ratio_density ** (temper * (freedom + 1.0) / 2.0)
    odds = likelihood.sum(axis=2)
    drawn = [policy.lines_for(one) for one in ("", *policy.own_classes)]
    thresholds = np.empty((len(drawn), size.size, SPREAD_BINS.size))
    for j, one in enumerate(2.0 ** ((SPREAD_BINS + 0.5) / 4.0)):
        lift = ratio[None, :] * size[:, None] * one
        steps = np.log(lift / policy.material_lift_k) / np.log(RATIO_STEP) + 0.5
        at_terminal = np.clip(steps - np.log(face) / np.log(RATIO_STEP), 0, 1)
        material = share * at_terminal + (1 - share) * np.clip(steps, 0, 1)
        probability = (likelihood * material[:, None, :]).sum(axis=2) / (1.0 + (1.0 + DOUBT) * odds)
        for place, lines in enumerate(drawn):
            is_flagged = probability >= policy.stated(lines["probability"])
            is_flagged &= (z * one >= lines["lift_k"])[None, :]
            is_flagged &= z[None, :] >= (lines["heat_ratio"] - 1.0) * size[:, None]
            first = np.argmax(is_flagged, axis=1)
            thresholds[place, :, j] = np.where(is_flagged.any(axis=1), z[first], 1e3)
    _put_thresholds(warehouse, thresholds)


def _put_thresholds(warehouse: Warehouse, thresholds: Array) -> None:
    """Write the thresholds of put_notice, shape (places, sizes, spreads)."""
    places, sizes, spreads = (one.ravel() for one in np.indices(thresholds.shape))
    warehouse.put(
        "judging.notice",
        {
            "own_place": places,
            "size_bin": SIZE_BINS[sizes],
            "spread_bin": SPREAD_BINS[spreads],
            "threshold_z": thresholds.ravel(),
        },
    )
