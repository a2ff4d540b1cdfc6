"""Past cases most alike, with what the electrician found."""

from __future__ import annotations

from typing import Any

from analytics import columns
from analytics.desk import FLEET
from analytics.opinion.tables import InForce
from analytics.warehouse import Warehouse

CASES_A_CLASS = 100
"""Findings looked through of each class, one pole or several, the latest; chosen."""
SHOWN = 3
LOAD_UNIT, SPREAD_UNIT, RISE_UNIT_K = 0.2, 1.0, 5.0
"""What counts as one step apart in load [1], standard residual [1], rise [K]; chosen: a load band,
a healthy spread, a little over a camera's limit."""

MOST_SPREADS = 3.0
"""Residuals further apart than this many spreads are unlike whatever the distance [1]; chosen."""
MOST_LOAD_APART = 0.3
"""Cases whose load lies further apart than this [1] are not alike; chosen."""

Case = dict[str, Any]


def read_cases(desk: Warehouse, classes: set[str], in_force: InForce) -> list[Case]:
    """Return the past cases of the classes; none before the first screening."""
    if in_force.screened is None:
        return []
    desk.execute(f"use {FLEET}")
    try:
        one = classes.copy().pop() if len(classes) == 1 else None
        query = "marts.opinion_case"
        return desk.records(query, device_class=one, case_count=CASES_A_CLASS)
    finally:
        desk.execute("use memory")


def most_alike(row: dict[str, Any], cases: list[Case]) -> list[Case]:
    """Return the cases nearest to a judged reading: same class and poles, then load and residual.

    Nearest by |load apart| / LOAD_UNIT + |standard residual apart| / SPREAD_UNIT, this at most
    MOST_SPREADS; where either has no current, by |rise apart| / RISE_UNIT_K. The later finding goes
    first among equals.
    """
    same = [case for case in cases if _is_alike(row, case)]
    near = sorted(same, key=lambda case: (_apart(row, case), -case["finding_id"]))
    return [{**case, "apart": _apart(row, case)} for case in near[:SHOWN]]


def _apart(row: dict[str, Any], case: Case) -> float:
    names = ("load_fraction", "standard_residual")
    if any(one[name] is None for one in (row, case) for name in names):
        return abs(row["rise_k"] - case["rise_k"]) / RISE_UNIT_K + 10.0
    return abs(row["load_fraction"] - case["load_fraction"]) / LOAD_UNIT + min(
        abs(row["standard_residual"] - case["standard_residual"]) / SPREAD_UNIT, MOST_SPREADS
    )


def _is_alike(row: dict[str, Any], case: Case) -> bool:
    if any(row[name] != case[name] for name in ("device_class", "is_multi_pole")):
        return False
    if row["load_fraction"] is None or case["load_fraction"] is None:
        return True
    return abs(row["load_fraction"] - case["load_fraction"]) <= MOST_LOAD_APART


def case_sentence(alike: list[Case]) -> str:
    """Return in one sentence what the electricians found in the cases most alike."""
    if not alike:
        return "No electrician's finding for such a device at such a load is in the store yet."
    counted: dict[str, int] = {}
    for case in alike:
        counted[case["finding"]] = counted.get(case["finding"], 0) + 1
    names = {**columns.FINDINGS, "nothing_found": "nothing"}
    words = [f"{names[name]} in {n}" for name, n in counted.items()]
    return f"In the {len(alike)} past cases most alike an electrician found {', '.join(words)}."
