"""The steps from measures to verdicts: the same queries for a whole fleet and for one reading."""

from __future__ import annotations

import math
from typing import Any

from analytics.policy import Policy
from analytics.statistics.figures import (
    AIR_LIMIT_K,
    CAMERA_LIMIT_K,
    CLAMP_DIGITS,
    CLAMP_LIMIT_SHARE,
    CLAMP_RESOLUTION,
    CRIMP_SHARE,
    RATIO_STEP,
    RECTANGULAR_DIVISOR,
    TEMPER,
)
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


def lay_evidence(warehouse: Warehouse, parameters: dict[str, Any], policy: Policy) -> None:
    """Lay the baseline on `normalise.measure` and weigh the evidence, up to `judging.evidence`."""
    lay_baseline(warehouse, parameters)
    weigh_evidence(warehouse, parameters, policy)


def lay_baseline(warehouse: Warehouse, parameters: dict[str, Any]) -> None:
    """Lay the baseline on `normalise.measure`, up to `judging.laid`."""
    warehouse.build("fitting.kind_met")
    warehouse.build("fitting.kind")
    warehouse.build("judging.design", floor_k_default=parameters["floor_k_default"])
    warehouse.build("judging.laid")


def weigh_evidence(warehouse: Warehouse, parameters: dict[str, Any], policy: Policy) -> None:
    """Weigh the evidence of `judging.laid`, up to `judging.evidence`."""
    variance, tuning = parameters["visit_variance"], parameters["tuning"]
    warehouse.build("judging.residual", visit_variance=variance, tuning=tuning)
    warehouse.build(
        "judging.evidence",
        material_lift_k=policy.material_lift_k,
        ratio_step=RATIO_STEP,
        crimp_share=CRIMP_SHARE,
    )


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
        "temper": TEMPER,
        "calibration_slope": policy.calibration_slope,
        **{key: lines[key] for key in BORDERLINE_LINES},
    }


def lay_verdicts(warehouse: Warehouse, parameters: dict[str, Any], policy: Policy) -> None:
    """Judge what `judging.evidence`, the ranks and the notices say, up to `judging.verdict`."""
    errors = instrument_errors()
    warehouse.build(
        "judging.judgement",
        exponent_sd=parameters["exponent_sd"],
        camera_k=math.hypot(errors["camera_k"], errors["air_k"]),
        clamp_share=errors["clamp_share"],
        clamp_floor_a=errors["clamp_floor_a"],
        **policy.calibration(),
    )
    warehouse.build("judging.verdict", **policy.as_parameters())


def lay_borderline(warehouse: Warehouse, policy: Policy) -> None:
    """Say how near each verdict lies to another one."""
    errors = instrument_errors()
    warehouse.build("judging.borderline", **errors, **borderline_parameters(policy))
