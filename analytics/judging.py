"""The steps from measures to verdicts: the same queries for a whole fleet and for one reading."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from analytics.policy import Policy
from analytics.statistics.figures import (
    AIR_LIMIT_K,
    CAMERA_LIMIT_K,
    CLAMP_DIGITS,
    CLAMP_LIMIT_SHARE,
    CLAMP_RESOLUTION,
    CRIMP_SHARE,
    DOUBT,
    RATIO_STEP,
    RECTANGULAR_DIVISOR,
)
from analytics.warehouse import Warehouse

BORDERLINE_LINES = (
    "flag_loaded_probability",
    "flag_terminal_peak_k",
    "load_continuous_share",
)
"""Thresholds that a reading may lie near, beside the lines of its class."""
ALL = (-(2**62), 2**62)
"""First and last number of a span that leaves none out."""
CHAIN = ("judging.judgement", "judging.lined", "judging.verdict", "judging.borderline")
"""From the evidence to the result; a whole fleet streams through them, see `querybook.inlined`."""

Span = tuple[int, int]


def lay_evidence(
    warehouse: Warehouse,
    parameters: dict[str, Any],
    policy: Policy,
    spans: Sequence[Span] = (ALL,),
) -> None:
    """Lay the baseline on `normalise.measure` and weigh the evidence, up to `judging.evidence`.

    One span of visits after the other: visits know nothing of each other, and the wide tables
    before the evidence are then never larger than a span.
    """
    _meet_kinds(warehouse)
    for number, span in enumerate(spans):
        _lay_span(warehouse, parameters, span)
        weigh_evidence(warehouse, parameters, policy, is_more=number > 0)


def lay_baseline(warehouse: Warehouse, parameters: dict[str, Any]) -> None:
    """Lay the baseline on `normalise.measure`, up to `judging.laid`."""
    _meet_kinds(warehouse)
    _lay_span(warehouse, parameters, ALL)


def _meet_kinds(warehouse: Warehouse) -> None:
    warehouse.build("fitting.kind_met")
    warehouse.build("fitting.kind")


def _lay_span(warehouse: Warehouse, parameters: dict[str, Any], span: Span) -> None:
    first, last = span
    floor_k = parameters["floor_k_default"]
    warehouse.build("judging.design", floor_k_default=floor_k, first_visit=first, last_visit=last)
    warehouse.build("judging.laid")


def weigh_evidence(
    warehouse: Warehouse, parameters: dict[str, Any], policy: Policy, *, is_more: bool = False
) -> None:
    """Weigh the evidence of `judging.laid` up to `judging.evidence`, anew or adding to it."""
    variance, tuning = parameters["visit_variance"], parameters["tuning"]
    warehouse.build("judging.residual", visit_variance=variance, tuning=tuning)
    params = {
        "material_lift_k": policy.material_lift_k,
        "ratio_step": RATIO_STEP,
        "crimp_share": CRIMP_SHARE,
        "doubt": DOUBT,
    }
    if is_more:
        warehouse.append("judging.evidence", "judging.evidence", **params)
    else:
        warehouse.build("judging.evidence", **params)


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
    return {
        "doubt": DOUBT,
        **policy.calibration(),
        **{key: lines[key] for key in BORDERLINE_LINES},
    }


def verdict_parameters(
    parameters: dict[str, Any], policy: Policy, span: Span = ALL
) -> dict[str, Any]:
    """Return what the queries of CHAIN up to the verdict ask for, for a span of readings."""
    judgement = _judgement_parameters(parameters, policy, span)
    return {**judgement, **policy.line_parameters(), **policy.as_parameters()}


def chain_parameters(
    parameters: dict[str, Any], policy: Policy, span: Span = ALL
) -> dict[str, Any]:
    """Return what all queries of CHAIN ask for, for a span of readings."""
    verdict = verdict_parameters(parameters, policy, span)
    return {**verdict, **instrument_errors(), **borderline_parameters(policy)}


def _judgement_parameters(parameters: dict[str, Any], policy: Policy, span: Span) -> dict[str, Any]:
    errors = instrument_errors()
    return {
        "exponent_sd": parameters["exponent_sd"],
        "rise_sd_k": math.hypot(errors["camera_k"], errors["air_k"]),
        "clamp_share": errors["clamp_share"],
        "clamp_floor_a": errors["clamp_floor_a"],
        "first_reading": span[0],
        "last_reading": span[1],
        "own_classes": list(policy.own_classes),
        **policy.calibration(),
    }


def lay_verdicts(warehouse: Warehouse, parameters: dict[str, Any], policy: Policy) -> None:
    """Judge what `judging.evidence`, the ranks and the notices say, up to `judging.verdict`."""
    warehouse.build("judging.judgement", **_judgement_parameters(parameters, policy, ALL))
    draw_verdicts(warehouse, policy)


def draw_verdicts(warehouse: Warehouse, policy: Policy) -> None:
    """Draw the policy's lines on `judging.judgement`, up to `judging.verdict`."""
    warehouse.build("judging.lined", **policy.line_parameters())
    warehouse.build("judging.verdict", **policy.as_parameters())


def lay_borderline(warehouse: Warehouse, policy: Policy) -> None:
    """Say how near each verdict lies to another one."""
    errors = instrument_errors()
    warehouse.build("judging.borderline", **errors, **borderline_parameters(policy))
