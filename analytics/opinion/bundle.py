"""Everything that an offline page needs to answer as the command does."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from analytics import __version__, columns
from analytics.inforce import BASELINE_TABLES
from analytics.judging import instrument_errors
from analytics.notices import CAUTIONS, SHORT_CAUTION
from analytics.opinion import ladders
from analytics.opinion import reading as rd
from analytics.opinion.cases import CASES_A_CLASS, read_cases
from analytics.opinion.judge import REPEAT_SHARE, REPEATS, SETTLED_MINUTES
from analytics.opinion.knowledge import read_knowledge
from analytics.opinion.paragraph import CONTINUOUS_MINUTES, PARTS
from analytics.opinion.tables import InForce, take_up
from analytics.policy import Policy
from analytics.statistics.figures import CRIMP_SHARE, DOUBT, RATIO_STEP
from analytics.warehouse import Warehouse

LEFT_OUT = ("history", "camera_level", "camera_effect")
"""Tables of the baseline that a typed reading never meets."""


def bundle(desk: Warehouse) -> dict[str, Any]:
    """Return the baseline and policy in force as plain data, ready for JSON.

    Keys: `tables` (name -> {column: list}: the small tables of the baseline, `rank_point`,
    `notice`, `warm_share`, `surround`), `parameters` (of the fit), `policy`, `errors` (standard
    uncertainties), `constants`, `limits` and `sentences` of bad input, `classes`, `verdicts`,
    `ladders`, `knowledge`, `cases`, `cautions`, versions, dates. Raises NotEnoughDataError before
    a fit.
    """
    in_force = take_up(desk)
    classes = set(columns.DEVICE_CLASSES)
    return {
        "program_version": __version__,
        "baseline_version": in_force.baseline_version,
        "baseline_fitted_at": in_force.parameters["fitted_at"],
        "ranks_from_baseline": in_force.screened[0] if in_force.screened else None,
        "policy": asdict(in_force.policy),
        "own_lines": _own_lines(in_force.policy),
        "parameters": {
            key: in_force.parameters[key]
            for key in ("visit_variance", "tuning", "floor_k_default", "exponent", "exponent_sd")
        },
        "floor_range_k": list(in_force.floor_range),
        "floor_variance_k2": in_force.floor_variance_k2,
        "is_surround_known": in_force.is_surround_known,
        "errors": instrument_errors(),
        "constants": _constants(),
        "tables": _tables(desk),
        "classes": columns.DEVICE_CLASSES,
        "verdicts": columns.VERDICTS,
        "findings": columns.FINDINGS,
        "limits": _limits(),
        "sentences": rd.SENTENCES,
        "ladders": ladders.tables(),
        "paragraph": PARTS,
        "knowledge": _knowledge(desk, in_force),
        "cases": read_cases(desk, classes, in_force),
        "caution": SHORT_CAUTION,
        "cautions": list(CAUTIONS),
    }


def _own_lines(policy: Policy) -> dict[str, dict[str, float]]:
    """Return the lines of each class that has its own, as `judging.notice` counts them."""
    return {name: policy.lines_for(name) for name in policy.own_classes}


def _constants() -> dict[str, Any]:
    return {
        "ratio_step": RATIO_STEP,
        "crimp_share": CRIMP_SHARE,
        "doubt": DOUBT,
        "settled_minutes": SETTLED_MINUTES,
        "continuous_minutes": CONTINUOUS_MINUTES,
        "repeat_share": REPEAT_SHARE,
        "repeats": {name: list(errors) for name, errors in REPEATS.items()},
        "cases_a_class": CASES_A_CLASS,
    }


def _limits() -> dict[str, Any]:
    return {
        "ratings_a": list(rd.RATINGS_A),
        "hottest_degc": rd.HOTTEST_DEGC,
        "coldest_degc": rd.COLDEST_DEGC,
        "warmest_air_degc": rd.WARMEST_AIR_DEGC,
        "floor_slack_k": rd.FLOOR_SLACK_K,
        "cool_slack_k": rd.COOL_SLACK_K,
        "warm_without_load_k": rd.WARM_WITHOUT_LOAD_K,
        "longest_minutes": rd.LONGEST_MINUTES,
        "most_load": rd.MOST_LOAD,
    }


def _tables(desk: Warehouse) -> dict[str, dict[str, list[Any]]]:
    names = {name: f"fitting.{name}" for name in BASELINE_TABLES if name not in LEFT_OUT}
    names |= {
        "rank_point": "screening.rank_point",
        "notice": "judging.notice",
        "warm_share": "judging.warm_share",
        "surround": "screening.surround",
    }
    return {name: _columns(desk, table) for name, table in names.items()}


def _columns(desk: Warehouse, table: str) -> dict[str, list[Any]]:
    heads = [row[0] for row in desk.fetch(f"describe {table}")]
    rows = desk.fetch(f"select * from {table} order by all")
    return {head: [row[i] for row in rows] for i, head in enumerate(heads)}


def _knowledge(desk: Warehouse, in_force: InForce) -> list[dict[str, Any]]:
    return [
        {"device_class": name, "is_multi_pole": is_multi_pole, **one}
        for (name, is_multi_pole), one in read_knowledge(desk, in_force).items()
    ]
