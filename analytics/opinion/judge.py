"""Judge single readings by the queries of the screening, on tables of a few rows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from analytics import querybook
from analytics.errors import UsageError
from analytics.judging import (
    borderline_parameters,
    instrument_errors,
    lay_baseline,
    lay_borderline,
    lay_verdicts,
    weigh_evidence,
)
from analytics.opinion import answer as an
from analytics.opinion.cases import read_cases
from analytics.opinion.knowledge import read_knowledge
from analytics.opinion.reading import Reading, problems
from analytics.opinion.tables import InForce, put_stored, put_typed, take_screened, take_up
from analytics.warehouse import Warehouse

SETTLED_MINUTES = 45.0
"""What “longer” means [min]; chosen: half an hour is the trade's rule, a body is then at 70 to
86 % of its rise (first-order model)."""
REPEATS = {
    "current": ("clamp_share", "clamp_floor_a"),
    "ambient": ("air_k",),
    "surface": ("camera_k",),
}
"""What can be measured again -> the standard uncertainties that shrink."""
REPEAT_SHARE = 0.5**0.5
"""What remains of a standard uncertainty after a second, independent reading, averaged [1]."""
KINDS = {
    1: "load",
    2: "minutes",
    3: "termination_usual",
    4: "termination_hot",
    5: "floor_low",
    6: "floor_high",
}

Rows = dict[int, dict[str, Any]]


def judge(desk: Warehouse, reading: Reading) -> dict[str, Any]:
    """Return the whole opinion on one typed reading. Raises UsageError where it cannot be true.

    See `analytics.opinion.answer` for the keys.
    """
    return judge_many(desk, [reading])[0]


def judge_many(desk: Warehouse, readings: Sequence[Reading]) -> list[dict[str, Any]]:
    """Return the opinions on many typed readings, each in a panel of its own, in their order."""
    for reading in readings:
        if found := problems(reading):
            raise UsageError(f"--{found[0].field}: {found[0].sentence}")
    in_force = take_up(desk)
    put_typed(desk, readings, in_force)
    rows = _judged(desk, in_force, is_typed=True)
    cases = read_cases(desk, {one.device_class for one in readings}, in_force)
    known = read_knowledge(desk, in_force)
    return [
        an.assemble(one, row, in_force, cases, known[row["device_class"], row["is_multi_pole"]])
        for one, row in zip(readings, rows.values(), strict=True)
    ]


def judge_stored(
    desk: Warehouse, inspection_id: str, panel_id: str, position: int, unit: str = "degF"
) -> dict[str, Any]:
    """Return the opinion on a reading of the store, in its panel.

    Raises NotEnoughDataError where there is none.
    """
    in_force = take_up(desk)
    put_stored(desk, inspection_id, panel_id, position)
    take_screened(desk, in_force)
    row = next(iter(_judged(desk, in_force, is_typed=False).values()))
    reading = an.as_reading(row, unit)
    cases = read_cases(desk, {reading.device_class}, in_force)
    known = read_knowledge(desk, in_force)[reading.device_class, row["is_multi_pole"]]
    return an.assemble(reading, row, in_force, cases, known)


def _judged(desk: Warehouse, in_force: InForce, *, is_typed: bool) -> Rows:
    """Run the screening's queries twice: on the readings, and on what else could be measured."""
    _lay(desk, in_force, is_typed)
    rows = {row["reading_id"]: row for row in desk.records("opinion.answer")}
    for name, chances in _repeated(desk, in_force).items():
        for key, row in rows.items():
            row[f"flip_chance_{name}"] = chances.get(key)
    _lay_alternatives(desk, in_force, is_typed)
    for found in desk.records("opinion.later"):
        rows[found["reading_id"]][KINDS[found["kind"]]] = found
    return rows


def _lay_evidence(desk: Warehouse, in_force: InForce, is_typed: bool) -> None:
    """Weigh the evidence; what was not read of the panel of a typed reading stays open."""
    lay_baseline(desk, in_force.parameters)
    if is_typed:
        desk.build(
            "opinion.lone",
            floor_k_default=in_force.parameters["floor_k_default"],
            floor_variance_k2=in_force.floor_variance_k2,
        )
        desk.copy("opinion.lone", "judging.laid")
    weigh_evidence(desk, in_force.parameters, in_force.policy)


def _lay(desk: Warehouse, in_force: InForce, is_typed: bool) -> None:
    _lay_evidence(desk, in_force, is_typed)
    desk.build("opinion.rank")
    desk.execute("create or replace view judging.rank as from opinion.rank")
    desk.execute("create or replace view judging.discovery as from opinion.screened")
    lay_verdicts(desk, in_force.parameters, in_force.policy)
    lay_borderline(desk, in_force.policy)
    versions = {
        "policy_version": in_force.policy.version,
        "baseline_version": in_force.baseline_version,
    }
    desk.build("screening.result", **versions)


def _lay_alternatives(desk: Warehouse, in_force: InForce, is_typed: bool) -> None:
    low, high = in_force.floor_range
    desk.build(
        "opinion.alternative",
        settled_minutes=SETTLED_MINUTES,
        floor_low_k=low,
        floor_high_k=high,
    )
    desk.build("opinion.second_measure")
    desk.copy("opinion.second_measure", "normalise.measure")
    _lay_evidence(desk, in_force, is_typed)
    lay_verdicts(desk, in_force.parameters, in_force.policy)


def _repeated(desk: Warehouse, in_force: InForce) -> dict[str, dict[int, float | None]]:
    """Return the chance of another verdict after each second measurement, by reading."""
    sql = f"select reading_id, flip_chance from (\n{querybook.load('judging.borderline').sql}\n)"
    usual = {**instrument_errors(), **borderline_parameters(in_force.policy)}
    found = {}
    for name, errors in REPEATS.items():
        shrunken = {error: usual[error] * REPEAT_SHARE for error in errors}
        found[name] = dict(desk.fetch(sql, {**usual, **shrunken}))
    return found
