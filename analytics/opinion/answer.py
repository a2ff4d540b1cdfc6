"""The opinion as one record of plain data: the keys of `loadrise opinion --json`.

- `reading`: what was typed or stored, °C, A, min; `unit`: what sentences speak in
- `verdict`, `verdict_words`, `reason`, `next_step`: as in `screening.result`
- `rise_k`, `termination_rise_k`, `conductor_rise_k`, `load_fraction`
- `expected_rise_k`, `lower_k`, `upper_k` (95 % of healthy ones), `lift_k`, `standard_residual`
- `place` (a code), `place_sentence`, `picture` (text)
- `heat_ratio`, `heat_ratio_low`, `heat_ratio_high`, `smallest_ratio_seen`
- `probability`, `local_fdr`, `score`, `q_value`, `flip_chance`, `settled_by`, `heat_pattern`,
  `panel_shift_k`: as in `screening.result`
- `rank`: `hotter_count`, `comparable_count`, `p_value`, and which they are: `device_class`,
  `is_multi_pole`, `load_low`, `load_high` [1], `sentence`
- `projected`: at 0.8 and 1 of rating: `load_fraction`, `rise_k`, `low_k`, `high_k`
- `measure_next`: one entry a measurement, see `analytics.opinion.value`
- `cases`: the past cases most alike with `finding`; `case_sentence`
- `ladders`: published tables beside, for reference
- `learned_from`: `reading_count`, `effective_count`, `prior_share`
- `notices`: `code`, `sentence`; `cautions`, `paragraph`
- `policy_version`, `baseline_version`, `baseline_fitted_at`
"""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from analytics.notices import CAUTIONS
from analytics.opinion import words
from analytics.opinion.cases import Case, case_sentence, most_alike
from analytics.opinion.ladders import beside
from analytics.opinion.paragraph import paragraph
from analytics.opinion.picture import picture
from analytics.opinion.reading import Reading
from analytics.opinion.remarks import remarks
from analytics.opinion.tables import InForce
from analytics.opinion.value import measure_next

Row = dict[str, Any]

TAKEN = (
    "verdict",
    "reason",
    "next_step",
    "rise_k",
    "termination_rise_k",
    "conductor_rise_k",
    "load_fraction",
    "expected_rise_k",
    "lower_k",
    "upper_k",
    "lift_k",
    "standard_residual",
    "heat_ratio",
    "heat_ratio_low",
    "heat_ratio_high",
    "smallest_ratio_seen",
    "probability",
    "local_fdr",
    "score",
    "q_value",
    "flip_chance",
    "settled_by",
    "heat_pattern",
    "panel_shift_k",
)
LOAD_EDGES = (0.0, 0.1, 0.2, 0.4, 0.6, 0.8, 1.0, None)
"""Edges of the load bands [1], as the macro `load_band` has them."""


def assemble(
    reading: Reading, row: Row, in_force: InForce, cases: list[Case], known: Row
) -> dict[str, Any]:
    """Put the opinion on one reading together; `row` is one of `opinion.answer`."""
    alike = most_alike(row, cases)
    unit = reading.unit
    told = {key: value for key, value in asdict(reading).items() if key != "unit"}
    return {
        "reading": {**told, "beside_degc": list(reading.beside_degc), **_place_of(row)},
        "unit": unit,
        **{key: row[key] for key in TAKEN},
        "verdict_words": words.verdict_words(row),
        "place": words.place(row),
        "place_sentence": words.place_sentence(row, unit),
        "picture": picture(row, unit),
        "rank": _rank(row),
        "projected": [_projected(row, share) for share in (80, 100)],
        "measure_next": measure_next(row, unit),
        "cases": alike,
        "case_sentence": case_sentence(alike),
        "ladders": beside(row["rise_k"], row["lift_k"], row["termination_rise_k"], unit),
        "learned_from": known,
        "notices": remarks(reading, row, in_force, known),
        "cautions": list(CAUTIONS),
        "paragraph": paragraph(reading, row),
        "policy_version": row["policy_version"],
        "baseline_version": row["baseline_version"],
        "baseline_fitted_at": in_force.parameters["fitted_at"],
    }


def as_reading(row: Row, unit: str) -> Reading:
    """Return a stored reading as if it had been typed, from its row of `opinion.answer`."""

    def degc(name: str) -> float | None:
        return None if row[name] is None else row["ambient_degc"] + row[name]

    return Reading(
        device_class=row["device_class"],
        rated_a=row["rated_a"],
        ambient_degc=row["ambient_degc"],
        device_degc=row["ambient_degc"] + row["rise_k"],
        current_a=row["current_a"],
        poles=row["poles"],
        load_minutes=row["load_minutes"],
        make=None if row["make"] == "not noted" else row["make"],
        termination_degc=degc("termination_rise_k"),
        conductor_degc=degc("conductor_rise_k"),
        floor_degc=degc("floor_k"),
        unit=unit,
    )


def _place_of(row: Row) -> Row:
    if row["inspection_id"] == "typed":
        return dict.fromkeys(("inspection_id", "panel_id", "position"))
    return {key: row[key] for key in ("inspection_id", "panel_id", "position")}


def _rank(row: Row) -> Row:
    band = row["load_band"]
    low, high = LOAD_EDGES[band - 1 : band + 1] if band else (None, None)
    found = {
        "hotter_count": row["hotter_count"],
        "comparable_count": row["comparable_count"],
        "p_value": row["p_value"],
        "device_class": row["device_class"],
        "is_multi_pole": row["is_multi_pole"],
        "load_low": low,
        "load_high": high,
    }
    return {**found, "sentence": words.rank_sentence(found)}


def _projected(row: Row, share: int) -> Row:
    return {
        "load_fraction": share / 100,
        "rise_k": row[f"projected_{share}_k"],
        "low_k": row[f"projected_{share}_low_k"],
        "high_k": row[f"projected_{share}_high_k"],
    }
