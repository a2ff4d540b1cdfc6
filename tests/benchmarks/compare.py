"""Loadrise beside other detectors, on fleets from two generators whose faults are known.

A fault is material when it lifts the face or the terminal by 3 K or more. Judgeable rows have a
current and no clerical error; all rows are all. The fleets come from the project's own generator
(`balance`: a heat balance with a lag, three offices, messy sheets) and from a transient heat
network that shares nothing with it (`transient`). Loadrise reads the files with their clerical
errors; every other detector gets the notes as they were before, a favour to it. The usual seeds
are no test's.

- Fixed rise: ranked by the rise; the line itself lies at 70 °F (38.9 K), common practice.
- Action bands: ANSI/NETA ATS/MTS, Table 100.18, over ambient air, alone or with similar devices.
- Square ratio: rise over the square of the load fraction, gated at 40 % or floored.
- Robust lines: statsmodels RLM on load^n for each class and pole count, n chosen by its scale.
- Isolation forest, local outliers: scikit-learn, on raw columns or on the lines' residuals.
- Boosted: HistGradientBoostingRegressor's residuals, cross-fitted by panel; plain with class,
  load, rating, poles and minutes, wide with neighbours, panel, place, make, camera and quarter too.

Each comes in several forms (with the termination or without, in kelvin or over a spread, and so
on; `tests/guarantees/scoring_references.py`); shown is the one form whose average precision on
judgeable rows was best over all fleets compared, a choice that no firm could make beforehand.
The oracles know each device's true healthy rise (fair: of the typical unit; sharp: the errors of
camera and air too), but look at the face only, so that a detector that reads terminations, or
learns a panel's air from its other devices, can pass all but the sharp one. On a fleet whose fit
does not settle Loadrise has no score and finds nothing.
"""

from __future__ import annotations

import json
import tempfile
from collections.abc import Iterator
from dataclasses import asdict, dataclass, field
from pathlib import Path

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from tests.benchmarks.fleets import MAKERS, Judged
from tests.guarantees.scoring import SUSPECT, reliability
from tests.guarantees.scoring_ranking import measures
from tests.guarantees.scoring_references import (
    AIR_EDGES_K,
    FIXED_RISE_K,
    Array,
    every_form,
    face_rise,
    hotter_rise,
)

Bools = NDArray[np.bool_]
OWN = "loadrise"
POPULATIONS = ("judgeable", "all")


STATED = ["is_judgeable", "probability", "is_material"]
"""What a stated chance is held against."""


@dataclass(frozen=True)
class FleetLine:
    """One fleet: how it was made and what it holds."""

    kind: str
    panels: int
    seed: int
    rows: int
    judgeable: int
    material: int
    material_judgeable: int
    seconds: float
    trouble: str

    @property
    def group(self) -> str:
        """Name of the fleets that are averaged."""
        return f"{self.kind}, {self.panels:,} panels"


@dataclass(frozen=True)
class Figure:
    """One measure of one form of a detector on one fleet [1]."""

    group: str
    seed: int
    population: str
    detector: str
    form: str
    measure: str
    value: float


def compare(
    plan: list[tuple[int, list[int]]],
) -> tuple[list[FleetLine], pd.DataFrame, dict[str, dict[str, float]]]:
    """Measure every detector on every fleet of the plan: panels with the seeds of their fleets.

    Returns the fleets, a frame of `Figure`s, one a row, and how true the chances are that Loadrise
    states, by group, its fleets together; tells each fleet as it is done.
    """
    stated: dict[str, list[pd.DataFrame]] = {}
    lines: list[FleetLine] = []
    figures: list[Figure] = []
    for panels, seeds in plan:
        for make in MAKERS.values():
            for seed in seeds:
                with tempfile.TemporaryDirectory() as folder:
                    judged = make(panels, seed, Path(folder))
                lines.append(_line(judged, panels))
                figures += _figures(judged, lines[-1].group)
                stated.setdefault(lines[-1].group, []).append(judged.rows[STATED])
                print(_told(lines[-1]), flush=True)
    chances = {group: reliability(pd.concat(parts)) for group, parts in stated.items()}
    return lines, pd.DataFrame([asdict(figure) for figure in figures]), chances


def _told(line: FleetLine) -> str:
    return (
        f"  {line.group}, seed {line.seed}: {line.rows:,} readings, {line.judgeable:,} judgeable, "
        f"{line.material_judgeable} of {line.material} material faults in them; "
        f"{line.seconds:.1f} s from files to verdicts {line.trouble and '(' + line.trouble + ')'}"
    )


def _line(judged: Judged, panels: int) -> FleetLine:
    rows = judged.rows
    return FleetLine(
        judged.kind,
        panels,
        judged.seed,
        len(rows),
        int(rows["is_judgeable"].sum()),
        int(rows["is_material"].sum()),
        int((rows["is_material"] & rows["is_judgeable"]).sum()),
        judged.seconds,
        judged.trouble,
    )


def _scores(judged: Judged) -> Iterator[tuple[str, str, Array]]:
    rows = judged.rows
    yield OWN, "score", rows["score"].to_numpy(dtype=float)
    for detector, forms in every_form(rows).items():
        for form, score in forms.items():
            yield detector, form, score
    for name in judged.oracles:
        yield name.removesuffix("_score"), "score", rows[name].to_numpy(dtype=float)


def _figures(judged: Judged, group: str) -> Iterator[Figure]:
    rows = judged.rows
    label = rows["is_material"].to_numpy(dtype=bool)
    subsets = {"judgeable": rows["is_judgeable"].to_numpy(dtype=bool), "all": label | True}
    for detector, form, score in _scores(judged):
        for population, chosen in subsets.items():
            for name, value in measures(label[chosen], score[chosen]).items():
                yield Figure(group, judged.seed, population, detector, form, name, value)
    for detector, flag in _rules(rows):
        for population, chosen in subsets.items():
            for name, value in _at_line(label[chosen], flag[chosen]).items():
                yield Figure(group, judged.seed, population, detector, "line", name, value)


def _rules(rows: pd.DataFrame) -> Iterator[tuple[str, Bools]]:
    """Yield detectors that draw a line of their own, with what they flag."""
    yield "Loadrise: suspected connection", rows["verdict"].isin(SUSPECT).to_numpy()
    yield "face 70 °F (38.9 K) over air", face_rise(rows) >= FIXED_RISE_K
    yield "face or termination 70 °F over air", hotter_rise(rows) >= FIXED_RISE_K
    for edge in AIR_EDGES_K[2:]:
        yield f"Table 100.18: over {edge:.0f} K over air", hotter_rise(rows) > edge


def _at_line(label: Bools, flag: Bools) -> dict[str, float]:
    true, count = float((label & flag).sum()), int(flag.sum())
    return {
        "flagged": float(flag.mean()),
        "precision": true / count if count else float("nan"),
        "recall": true / label.sum() if label.any() else float("nan"),
    }


@dataclass(frozen=True)
class Comparison:
    """The fleets, the averages over them, and over those for which Loadrise had verdicts."""

    fleets: list[FleetLine]
    means: pd.DataFrame
    settled: pd.DataFrame
    chances: dict[str, dict[str, float]] = field(default_factory=dict)
    """How true stated chances are, by group: what `scoring.reliability` returns."""

    @property
    def groups(self) -> list[str]:
        """Names of the fleets averaged, in order."""
        return list(dict.fromkeys(self.means["group"]))


def summarise(
    fleets: list[FleetLine], figures: pd.DataFrame, chances: dict[str, dict[str, float]]
) -> Comparison:
    """Return the averages of each detector in its best form."""
    best = best_forms(figures)
    silent = {(fleet.group, fleet.seed) for fleet in fleets if fleet.trouble}
    spoke = [key not in silent for key in zip(best["group"], best["seed"], strict=True)]
    return Comparison(fleets, averages(best), averages(best[spoke]), chances)


def best_forms(figures: pd.DataFrame) -> pd.DataFrame:
    """Return the figures of each detector in its best form, and of the rules' own lines."""
    rank = figures[
        (figures["measure"] == "average_precision") & (figures["population"] == "judgeable")
    ]
    mean = rank.groupby(["detector", "form"], sort=False)["value"].mean().reset_index()
    best = mean.loc[mean.groupby("detector", sort=False)["value"].idxmax(), ["detector", "form"]]
    kept = figures.merge(best, on=["detector", "form"])
    return pd.concat([kept, figures[figures["form"] == "line"]], ignore_index=True)


def averages(figures: pd.DataFrame) -> pd.DataFrame:
    """Return mean, standard deviation, lowest and highest of each measure over a group's fleets."""
    keys = ["group", "population", "detector", "form", "measure"]
    found = figures.groupby(keys, sort=False)["value"]
    return found.agg(["mean", "std", "min", "max", "count"]).reset_index()


def write_json(lines: list[FleetLine], figures: pd.DataFrame, path: Path) -> None:
    """Write every form on every fleet, and the averages."""
    told = averages(figures).astype(object)
    plain = {
        "fleets": [asdict(line) for line in lines],
        "averages": told.where(told.notna(), None).to_dict("records"),
        "figures": figures.astype(object).where(figures.notna(), None).to_dict("records"),
    }
    path.write_text(json.dumps(plain, indent=1, default=_plain), encoding="utf-8")


def _plain(value: object) -> object:
    return value.item() if isinstance(value, np.generic) else str(value)
