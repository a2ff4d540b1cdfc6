"""Screening: the baseline and policy in force laid on every reading, verdict and reason out."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any

import numpy as np

from analytics import columns, history
from analytics.baseline import prepare_measures, take_up
from analytics.policy import Policy
from analytics.settings import BaselineSettings
from analytics.statistics.instruments import (
    AIR_LIMIT_K,
    CAMERA_LIMIT_K,
    CLAMP_DIGITS,
    CLAMP_LIMIT_SHARE,
    CLAMP_RESOLUTION,
    RECTANGULAR_DIVISOR,
)
from analytics.statistics.mixture import RATIO_STEP, TEMPER
from analytics.statistics.pairing import CRIMP_SHARE
from analytics.warehouse import Warehouse

BORDERLINE_LINES = (
    "flag_probability",
    "flag_loaded_probability",
    "flag_heat_ratio",
    "flag_lift_k",
    "flag_terminal_peak_k",
    "load_continuous_share",
)
"""Thresholds of the policy that a reading may lie near."""


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
        prepare_measures(warehouse, BaselineSettings())
    judge_by(warehouse, parameters, chosen)
    with warehouse.transaction():
        history.set_earlier_aside(warehouse)
        warehouse.build("screening.result", policy_version=chosen.version, baseline_version=version)
        warehouse.build("screening.terminal")
        changed = history.record_verdicts(warehouse, chosen, version)
        _keep(warehouse, chosen, version)
    counts = warehouse.fetch(
        "select verdict, count(*) from screening.result group by verdict order by verdict"
    )
    return ScreeningSummary(dict(counts), chosen.version, version, changed)


def judge_by(warehouse: Warehouse, parameters: dict[str, Any], policy: Policy) -> None:
    """Judge the measures in the store by a baseline taken up and a policy; nothing is kept."""
    lay_evidence(warehouse, parameters, policy)
    _compare(warehouse)
    put_notice(warehouse, policy)
    lay_verdicts(warehouse, parameters, policy)
    lay_borderline(warehouse, policy)


def _keep(warehouse: Warehouse, policy: Policy, baseline_version: str) -> None:
    """Keep what a second opinion on a single reading needs beside the baseline: small tables."""
    warehouse.build("screening.rank_point")
    warehouse.copy("judging.notice", "screening.notice")
    warehouse.copy("judging.warm_share", "screening.warm_share")
    warehouse.build(
        "screening.basis", policy_version=policy.version, baseline_version=baseline_version
    )


def lay_evidence(warehouse: Warehouse, parameters: dict[str, Any], policy: Policy) -> None:
    """Lay the baseline on `normalise.measure` and weigh the evidence, up to `judging.evidence`."""
    variance, tuning = parameters["visit_variance"], parameters["tuning"]
    warehouse.build("fitting.kind_met")
    warehouse.build("fitting.kind")
    warehouse.build("judging.design", floor_k_default=parameters["floor_k_default"])
    warehouse.build("judging.laid")
    warehouse.build("judging.residual", visit_variance=variance, tuning=tuning)
    warehouse.build(
        "judging.evidence",
        material_lift_k=policy.material_lift_k,
        ratio_step=RATIO_STEP,
        crimp_share=CRIMP_SHARE,
    )


def _compare(warehouse: Warehouse) -> None:
    """Rank the readings among each other."""
    warehouse.build("judging.rank")
    warehouse.build("judging.discovery")
    warehouse.build("judging.warm_share")


def instrument_errors() -> dict[str, float]:
    """Return the standard uncertainties of camera and air [K] and of the clamp [1, A]."""
    return {
        "camera_k": CAMERA_LIMIT_K.value / RECTANGULAR_DIVISOR.value,
        "air_k": AIR_LIMIT_K.value / RECTANGULAR_DIVISOR.value,
        "clamp_share": CLAMP_LIMIT_SHARE.value / RECTANGULAR_DIVISOR.value,
        "clamp_floor_a": CLAMP_DIGITS.value * CLAMP_RESOLUTION.value / RECTANGULAR_DIVISOR.value,
    }


def borderline_parameters(policy: Policy) -> dict[str, float]:
    """Return what `judging.borderline` asks for beside the instruments' errors."""
    lines = policy.as_parameters()
    return {"temper": TEMPER, **{key: lines[key] for key in BORDERLINE_LINES}}


def lay_verdicts(warehouse: Warehouse, parameters: dict[str, Any], policy: Policy) -> None:
    """Judge what `judging.evidence`, the ranks and the notices say, up to `judging.verdict`."""
    errors = instrument_errors()
    warehouse.build(
        "judging.judgement",
        exponent_sd=parameters["exponent_sd"],
        camera_k=float(np.hypot(errors["camera_k"], errors["air_k"])),
        clamp_share=errors["clamp_share"],
        clamp_floor_a=errors["clamp_floor_a"],
    )
    warehouse.build("judging.verdict", **policy.as_parameters())


def lay_borderline(warehouse: Warehouse, policy: Policy) -> None:
    """Say how near each verdict lies to another one."""
    errors = instrument_errors()
    warehouse.build("judging.borderline", **errors, **borderline_parameters(policy))


def put_notice(warehouse: Warehouse, policy: Policy) -> None:
    """Write the residual [healthy spreads] at which a reading would be flagged, by size and spread.

    Grid of quarter octaves of the load-driven rise in spreads and of the spread in kelvins; the
    chance of a material fault is the same sum that the evidence uses, here over a grid.
    """
    size_bin, spread_bin = (np.arange(-24, 33), np.arange(-24, 33))
    freedom, temper, scale, ratios, weights, share, face = warehouse.fetch(
        "select freedom, temper, tail_scale, ratios, weights, terminal_share, face_per_terminal "
        "from baseline.mixture where pole_family = 'one_pole' and is_working"
    )[0]
    size = 2.0 ** ((size_bin + 0.5) / 4.0)
    spread = 2.0 ** ((spread_bin + 0.5) / 4.0)
    z = np.arange(0.0, 30.0, 0.05)
    ratio, weight = np.array(ratios), np.array(weights)
    ratio_density = (1.0 + (z / scale) ** 2 / freedom)[None, :, None] / (
        1.0 + ((z[None, :, None] - ratio * size[:, None, None]) / scale) ** 2 / freedom
    )
    likelihood = weight * ratio_density ** (temper * (freedom + 1.0) / 2.0)
    odds = likelihood.sum(axis=2)
    thresholds = np.empty((size.size, spread.size))
    for j, one in enumerate(spread):
        lift = ratio[None, :] * size[:, None] * one
        steps = np.log(lift / policy.material_lift_k) / np.log(RATIO_STEP) + 0.5
        at_terminal = np.clip(steps - np.log(face) / np.log(RATIO_STEP), 0, 1)
        material = share * at_terminal + (1 - share) * np.clip(steps, 0, 1)
        probability = (likelihood * material[:, None, :]).sum(axis=2) / (1.0 + odds)
        is_flagged = (probability >= policy.flag_probability) & (z * one >= policy.flag_lift_k)[
            None, :
        ]
        is_flagged &= z[None, :] >= (policy.flag_heat_ratio - 1.0) * size[:, None]
        first = np.argmax(is_flagged, axis=1)
        thresholds[:, j] = np.where(is_flagged.any(axis=1), z[first], 1e3)
    warehouse.put(
        "judging.notice",
        {
            "size_bin": np.repeat(size_bin, spread_bin.size),
            "spread_bin": np.tile(spread_bin, size_bin.size),
            "threshold_z": thresholds.ravel(),
        },
    )
