"""Score a screening export against the truth of the transient fleet.

Run `python -m tests.guarantees.scoring EXPORT.parquet TRUTH.parquet`.
"""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from tests.guarantees.scoring_ranking import average_precision
from tests.guarantees.scoring_references import Array, all_references

KEYS = ["inspection_id", "panel_id", "position"]
EXPORTED = [
    "verdict", "score", "probability", "rise_k", "load_fraction", "expected_rise_k",
    "lower_k", "upper_k", "p_value",
]  # fmt: skip
BANDS = (-np.inf, 0.1, 0.2, 0.4, 0.6, 0.8, 1.0, np.inf)
BAND_NAMES = ["0-.1", ".1-.2", ".2-.4", ".4-.6", ".6-.8", ".8-1", ">1"]
CELL = 200
SURE = 0.9
SUSPECT = ("suspect_connection", "overload_and_connection")
ORACLES = ("oracle_score", "fair_oracle_score", "sharp_oracle_score")


def join(export: pd.DataFrame, truth: pd.DataFrame) -> pd.DataFrame:
    """Return the truth with the export beside it; `exported_rows` 0 means quarantined."""
    given = export[KEYS + EXPORTED].copy()
    given["position"] = given["position"].astype("Int64")
    given = given.dropna(subset=KEYS).astype({"position": int})
    times = given.groupby(KEYS).size().rename("exported_rows").reset_index()
    one = given.drop_duplicates(KEYS).merge(times, on=KEYS)
    rows = truth.merge(one, on=KEYS, how="left")
    rows["exported_rows"] = rows["exported_rows"].fillna(0).astype(int)
    return rows


def _precisions(rows: pd.DataFrame) -> dict[str, dict[str, float]]:
    scores: dict[str, Array] = {"score": rows["score"].to_numpy(dtype=float)}
    scores |= {name: rows[name].to_numpy(dtype=float) for name in ORACLES}
    scores |= all_references(rows)
    judgeable, material = rows["is_judgeable"].to_numpy(), rows["is_material"].to_numpy()
    return {
        name: {
            "judgeable": average_precision(material[judgeable], values[judgeable]),
            "all": average_precision(material, values),
        }
        for name, values in scores.items()
    }


def _ratios(precisions: dict[str, dict[str, float]]) -> dict[str, Any]:
    references = {k: v for k, v in precisions.items() if k != "score" and k not in ORACLES}
    best = max(references, key=lambda name: references[name]["judgeable"])
    own = precisions["score"]["judgeable"]
    out: dict[str, Any] = {f"to_{n}": own / precisions[n]["judgeable"] for n in ORACLES}
    return out | {"to_best_reference": own / references[best]["judgeable"], "best": best}


def coverage(rows: pd.DataFrame) -> list[dict[str, Any]]:
    """Return per class and load band the share of healthy rises inside the interval, and widths."""
    fine = rows["is_judgeable"] & ~rows["has_fault"] & rows["lower_k"].notna()
    part = rows[fine & rows["upper_k"].notna()].copy()
    part["band"] = pd.cut(part["observed_load_fraction"], BANDS, labels=BAND_NAMES, right=False)
    part["inside"] = part["rise_k"].between(part["lower_k"], part["upper_k"])
    part["over"] = part["rise_k"] > part["upper_k"]
    part["width"] = part["upper_k"] - part["lower_k"]
    cells = []
    for (name, band), cell in part.groupby(["device_class", "band"], observed=True):
        if len(cell) < CELL:
            continue
        width = cell["width"].median()
        widths = {
            f"width_to_{kind}": width / (2 * 1.96 * cell[f"{kind}_sd_k"]).median()
            for kind in ("oracle", "fair", "sharp")
            if f"{kind}_sd_k" in cell
        }
        cells.append(
            {"class": name, "band": band, "rows": len(cell), "covered": cell["inside"].mean()}
            | {"over": cell["over"].mean(), "width_k": width}
            | widths
        )
    return cells


def uncovered(cells: list[dict[str, Any]], low: float = 0.935, high: float = 0.965) -> list[str]:
    """Return classes and load bands whose coverage lies beyond the bounds and its 95 % error."""
    out = []
    for cell in cells:
        error = 1.96 * np.sqrt(0.95 * 0.05 / cell["rows"])
        if not low - error <= cell["covered"] <= high + error:
            out.append(f"{cell['class']} {cell['band']}")
    return out


def false_alarms(rows: pd.DataFrame) -> list[dict[str, Any]]:
    """Return the share of healthy judgeable rows called suspect, by class, air and panel size.

    `over_p05` is the share with p_value below 0.05: steadier than the rare alarms.
    """
    part = rows[rows["is_judgeable"] & ~rows["has_fault"] & (rows["exported_rows"] > 0)].copy()
    part["alarm"] = part["verdict"].isin(SUSPECT)
    part["low_p"] = part["p_value"] < 0.05
    air = pd.cut(part["noted_air_degc"], [-np.inf, 5, 15, 20, 25, np.inf], right=False)
    size = pd.cut(part["panel_devices"], [0, 12, 18, 24, 99])
    groups = {"all": pd.Series("all", index=part.index), "class": part["device_class"]}
    groups |= {"air_degc": air.astype(str), "panel_devices": size.astype(str)}
    out = []
    for by, group in groups.items():
        for name, cell in part.groupby(group):
            out.append(
                {"by": by, "group": name, "rows": len(cell), "alarms": int(cell["alarm"].sum())}
                | {"share": cell["alarm"].mean(), "over_p05": cell["low_p"].mean()}
            )
    return out


def reliability(rows: pd.DataFrame) -> dict[str, float]:
    """Return slope and intercept of a logistic regression of material fault on logit(p).

    Beside them the logarithmic loss a thousand readings, and how many readings have a stated chance
    over SURE, with the share of these that are material faults.
    """
    from sklearn.linear_model import LogisticRegression

    part = rows[rows["is_judgeable"] & rows["probability"].notna()]
    if part["is_material"].nunique() < 2:
        return {"slope": float("nan"), "intercept": float("nan")}
    chance = part["probability"].clip(1e-6, 1 - 1e-6).to_numpy(dtype=float)
    logit = np.log(chance / (1 - chance)).reshape(-1, 1)
    model = LogisticRegression(C=1e9, max_iter=1000).fit(logit, part["is_material"])
    fault = part["is_material"].to_numpy(dtype=bool)
    sure = fault[chance > SURE]
    return {
        "slope": float(model.coef_[0, 0]),
        "intercept": float(model.intercept_[0]),
        "mean_probability": float(chance.mean()),
        "share_material": float(fault.mean()),
        "loss_per_thousand": -1e3 * float(np.log(np.where(fault, chance, 1 - chance)).mean()),
        "sure": float(sure.size),
        "share_of_sure": float(sure.mean()) if sure.size else float("nan"),
    }


def _share(flag: pd.Series) -> dict[str, float]:
    return {"count": int(flag.size), "share": float(flag.mean()) if flag.size else float("nan")}


def confusions(rows: pd.DataFrame) -> dict[str, dict[str, float]]:
    """Return how overloads and faults are mixed up, and how slips and good rows are treated."""
    judged = rows["is_judgeable"] & (rows["exported_rows"] > 0)
    pure = judged & rows["is_overload"] & ~rows["has_fault"]
    faults = judged & rows["is_material"]
    mains = rows["device_class"] == "main"
    put_aside = (rows["exported_rows"] == 0) | (rows["verdict"] == "recheck")
    slip = rows["clerical_error"] != ""
    doubled = rows["is_duplicated"] & ~slip
    out = {
        "pure_overload_called_suspect": _share(rows.loc[pure, "verdict"].isin(SUSPECT)),
        "material_fault_called_overload": _share(rows.loc[faults, "verdict"] == "overload"),
        "material_fault_called_suspect": _share(rows.loc[faults, "verdict"].isin(SUSPECT)),
        "material_main_called_suspect": _share(rows.loc[faults & mains, "verdict"].isin(SUSPECT)),
        "material_slip_put_aside": _share(put_aside[slip & rows["is_material_error"]]),
        "any_slip_put_aside": _share(put_aside[slip]),
        "good_row_put_aside": _share(put_aside[~slip]),
        "duplicate_kept_once": _share(rows.loc[doubled, "exported_rows"] <= 1),
    }
    for code in sorted(set(rows.loc[slip, "clerical_error"])):
        here = (rows["clerical_error"] == code) & rows["is_material_error"]
        out[f"slip {code}"] = _share(put_aside[here])
    return out


def score(export: pd.DataFrame, truth: pd.DataFrame) -> dict[str, Any]:
    """Return every figure by which a screening is judged.

    Args:
        export: the screening export, one row a reading; a row of the truth that is absent from it
            counts as quarantined.
        truth: the truth of a transient fleet.

    Returns:
        Nested plain values: average precisions and ratios, coverage cells, false alarms,
        reliability, confusions.
    """
    rows = join(export, truth)
    precisions = _precisions(rows)
    verdicts = rows["verdict"].fillna("(quarantined)").value_counts().to_dict()
    return {
        "rows": len(rows),
        "material": int(rows["is_material"].sum()),
        "material_judgeable": int((rows["is_material"] & rows["is_judgeable"]).sum()),
        "verdicts": verdicts,
        "average_precision": precisions,
        "ratios": _ratios(precisions),
        "coverage": coverage(rows),
        "false_alarms": false_alarms(rows),
        "reliability": reliability(rows),
        "confusions": confusions(rows),
    }


def report(result: dict[str, Any]) -> str:
    """Return the figures as compact text."""
    lines = [
        f"rows {result['rows']}, material faults {result['material']}, "
        f"judgeable {result['material_judgeable']}; verdicts {result['verdicts']}"
    ]
    lines.append("average precision: judgeable / all")
    for name, value in _best_forms(result["average_precision"]).items():
        lines.append(f"  {name:40s} {value['judgeable']:.3f} {value['all']:.3f}")
    ratios = result["ratios"]
    lines.append("  " + ", ".join(f"{k} {v:.2f}" for k, v in ratios.items() if k != "best"))
    lines.append(f"  best reference: {ratios['best']}")
    for title in ("coverage", "false_alarms"):
        table = pd.DataFrame(result[title])
        lines += [title, table.round(4).to_string(index=False) if len(table) else "  (no cells)"]
    lines.append("reliability " + json.dumps({k: round(v, 3) for k, v in _items(result)}))
    for name, value in result["confusions"].items():
        lines.append(f"  {name:32s} {value['share']:.3f} of {value['count']}")
    return "\n".join(lines)


def _best_forms(precisions: dict[str, dict[str, float]]) -> dict[str, dict[str, float]]:
    """Return each detector in the form that did best."""
    ordered = sorted(precisions, key=lambda name: precisions[name]["judgeable"])
    best = {name.partition(".")[0]: name for name in ordered}
    return {name: precisions[name] for name in precisions if name in best.values()}


def _items(result: dict[str, Any]) -> list[tuple[str, float]]:
    return list(result["reliability"].items())


def main(arguments: list[str] | None = None) -> None:
    """Print the report for an export and its truth."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("export", type=Path)
    parser.add_argument("truth", type=Path)
    parser.add_argument("--json", type=Path, help="write the figures here too")
    given = parser.parse_args(arguments)
    result = score(pd.read_parquet(given.export), pd.read_parquet(given.truth))
    if given.json:
        given.json.write_text(json.dumps(result, default=str, indent=1))
    print(report(result))


if __name__ == "__main__":
    main()
