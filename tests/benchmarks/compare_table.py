"""The comparison as plain text, as Markdown, and in a few sentences: where Loadrise loses."""

from __future__ import annotations

import math

import pandas as pd

from tests.benchmarks.compare import OWN, POPULATIONS, Comparison, FleetLine

WORDS = {
    OWN: "**Loadrise**",
    "fixed_rise": "fixed rise",
    "action_bands": "action bands, Table 100.18",
    "square_ratio": "I² ratio",
    "robust_lines": "robust regression (RLM)",
    "isolation_forest": "isolation forest",
    "local_outlier": "local outlier factor",
    "boosted_plain": "boosted residuals, plain",
    "boosted_wide": "boosted residuals, wide",
    "oracle": "oracle",
    "fair_oracle": "oracle, typical unit",
    "sharp_oracle": "oracle, errors known",
}
SHORT = {"average_precision": "average precision", "judgeable": "judgeable rows", "all": "all rows"}
CUTS = ("1%", "2%", "5%")
LEAD = 1.1
"""Loadrise's average precision should be so many times the best other's [1]."""
Cells = list[list[str]]


def _references(names: list[str]) -> list[str]:
    return [name for name in names if name in WORDS and name != OWN and "oracle" not in name]


def _means(averages: pd.DataFrame, group: str, population: str) -> pd.DataFrame:
    """Return detector × measure for one group and population, the mean over its fleets."""
    part = averages[(averages["group"] == group) & (averages["population"] == population)]
    return part.pivot_table(
        index="detector", columns="measure", values="mean", sort=False, dropna=False
    )


def _number(value: float) -> str:
    return "–" if math.isnan(value) else f"{value:.2f}"


def _spread(row: pd.Series) -> str:
    spread = "" if math.isnan(row["std"]) else f" ± {row['std']:.2f}"
    return _number(row["mean"]) + spread


def ranked(averages: pd.DataFrame, group: str, population: str) -> Cells:
    """Return the table of one group: detector, form, average precision, precision / recall."""
    part = averages[(averages["group"] == group) & (averages["population"] == population)]
    head = ["detector", "form", SHORT["average_precision"], *(f"{cut} flagged" for cut in CUTS)]
    cells = [head]
    for detector in WORDS:
        own = part[part["detector"] == detector].set_index("measure")
        if own.empty:
            continue
        pairs = [
            f"{_number(own['mean'][f'precision_{cut}'])} / {_number(own['mean'][f'recall_{cut}'])}"
            for cut in CUTS
        ]
        form = str(own["form"].iloc[0]).replace("_", " ")
        cells.append([WORDS[detector], form, _spread(own.loc["average_precision"]), *pairs])
    return cells


def lines_drawn(averages: pd.DataFrame, group: str) -> Cells:
    """Return what each detector with a line of its own flags on all rows of a group."""
    part = averages[(averages["group"] == group) & (averages["population"] == "all")]
    cells = [["line", "flagged", "precision", "recall"]]
    for detector, own in part[part["form"] == "line"].groupby("detector", sort=False):
        mean = own.set_index("measure")["mean"]
        share = f"{100 * mean['flagged']:.2f} %"
        cells.append([str(detector), share, _number(mean["precision"]), _number(mean["recall"])])
    return cells


def summary(averages: pd.DataFrame) -> Cells:
    """Return the average precision of each detector, a column a group and population."""
    groups = list(dict.fromkeys(averages["group"]))
    places = [(group, population) for group in groups for population in POPULATIONS]
    cells = [["average precision", *(f"{g}; {SHORT[p]}" for g, p in places)]]
    rows = averages[averages["measure"] == "average_precision"]
    rows = rows.set_index(["detector", "group", "population"])
    known = {name for name, *_ in rows.index}
    for detector in (name for name in WORDS if name in known):
        found = [
            _spread(rows.loc[(detector, *place)]) if (detector, *place) in rows.index else "–"
            for place in places
        ]
        cells.append([WORDS[detector], *found])
    return cells


def losses(found: Comparison) -> list[str]:
    """Return a sentence for each group and population in which Loadrise loses or is silent."""
    told = []
    for group in found.groups:
        told += _silence(found, group)
        for population in POPULATIONS:
            means = _means(found.means, group, population)
            words = _lost(means) + (_behind_oracle(means) if population == "judgeable" else [])
            told += [f"{group}, {SHORT[population]}: {'; '.join(words)}."] if words else []
    return told


def _silence(found: Comparison, group: str) -> list[str]:
    """Return on which fleets of the group there was no verdict, and how it went on the others."""
    own = [fleet for fleet in found.fleets if fleet.group == group]
    silent = [str(fleet.seed) for fleet in own if fleet.trouble]
    if not silent:
        return []
    told = (
        f"{group}: no verdict on {len(silent)} of {len(own)} fleets (seeds {', '.join(silent)}), "
        "since the fit did not settle"
    )
    if len(silent) == len(own):
        return [f"{told}."]
    value = _means(found.settled, group, "judgeable")["average_precision"]
    others = value[_references(list(value.index))]
    return [
        f"{told}; on the others its average precision on judgeable rows is {value[OWN]:.3f}, that "
        f"of {WORDS[str(others.idxmax())]} {others.max():.3f}."
    ]


def _lost(means: pd.DataFrame) -> list[str]:
    """Return where another detector is ahead, and where the lead is less than a tenth."""
    others = means.loc[_references(list(means.index))]
    told = []
    for measure in ("average_precision", *(f"recall_{cut}" for cut in CUTS)):
        mine, best = means.loc[OWN, measure], others[measure].max()
        who = WORDS[str(others[measure].idxmax())]
        name = SHORT.get(measure) or measure.replace("recall_", "recall at ").replace("%", " %")
        if best > mine:
            told.append(f"{name} {mine:.3f} against {best:.3f} of {who}")
        elif measure == "average_precision" and mine < LEAD * best:
            told.append(f"{name} only {mine / best:.2f} × that of {who}")
    return told


def _behind_oracle(means: pd.DataFrame) -> list[str]:
    name = "fair_oracle" if "fair_oracle" in means.index else "oracle"
    share = means.loc[OWN, "average_precision"] / means.loc[name, "average_precision"]
    return [f"{share:.2f} of the average precision of the {WORDS[name]}"]


def headline(averages: pd.DataFrame) -> str:
    """Return in one line how often Loadrise's average precision is not the highest."""
    places = [(g, p) for g in dict.fromkeys(averages["group"]) for p in POPULATIONS]
    behind = []
    for place in places:
        value = _means(averages, *place)["average_precision"]
        if value[_references(list(value.index))].max() > value[OWN]:
            behind.append(f"{place[0]}, {SHORT[place[1]]}")
    if not behind:
        return "Loadrise loses to no other detector in average precision; the oracles stand apart."
    return (
        f"Loadrise loses in average precision in {len(behind)} of {len(places)} comparisons: "
        f"{'; '.join(behind)}."
    )


def fleets_told(lines: list[FleetLine]) -> list[str]:
    """Return a sentence about the fleets of each group."""
    told = []
    for group in dict.fromkeys(line.group for line in lines):
        own = [line for line in lines if line.group == group]
        seeds = ", ".join(str(line.seed) for line in own)
        count = f"{len(own)} fleets (seeds" if len(own) > 1 else "1 fleet (seed"
        rows, faults = sum(x.judgeable for x in own), sum(x.material_judgeable for x in own)
        told.append(
            f"{group}: {count} {seeds}), {sum(x.rows for x in own):,} readings, "
            f"{sum(x.material for x in own)} material faults; judgeable {rows:,} with {faults}."
        )
    return told


def markdown(cells: Cells) -> str:
    """Return a Markdown table; the first row is its head."""
    lines = [cells[0], ["---"] + ["---:"] * (len(cells[0]) - 1), *cells[1:]]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def text(cells: Cells) -> str:
    """Return the table in columns of plain text."""
    plain = [[cell.replace("**", "") for cell in line] for line in cells]
    widths = [max(len(line[i]) for line in plain) for i in range(len(plain[0]))]
    return "\n".join(
        "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip()
        for line in plain
    )


def whole(found: Comparison, *, is_markdown: bool) -> str:
    """Return every table, the fleets, and where Loadrise loses, which is the end of it."""
    shape = markdown if is_markdown else text
    parts = ["\n".join(f"- {sentence}" for sentence in fleets_told(found.fleets))]
    for group in found.groups:
        for population in POPULATIONS:
            title = f"{group}, {SHORT[population]}: mean ± spread, precision / recall"
            parts += [
                f"{'### ' * is_markdown}{title}",
                shape(ranked(found.means, group, population)),
            ]
        parts += [f"{'### ' * is_markdown}{group}, all rows: lines drawn"]
        parts += [shape(lines_drawn(found.means, group))]
    return "\n\n".join([*parts, where_it_loses(found)]) + "\n"


def where_it_loses(found: Comparison) -> str:
    """Return the closing words of the table, the headline last."""
    sentences = "\n".join(f"- {sentence}" for sentence in losses(found))
    title = "Where Loadrise loses or leads by less than a tenth, and how far the oracle is:"
    return f"{title}\n\n{sentences}\n\n{headline(found.means)}"


def chances_told(found: Comparison) -> list[str]:
    """Return how true the stated chances are, a sentence a group."""
    return [
        f"{group}: reliability slope {one['slope']:.2f}, logarithmic loss "
        f"{one['loss_per_thousand']:.1f} a thousand readings; of {one['sure']:.0f} readings with a "
        f"stated chance over 90 % {100 * one['share_of_sure']:.0f} % are material faults."
        for group, one in found.chances.items()
    ]


def block(found: Comparison) -> str:
    """Return the short form that DEVELOPERS.md shows."""
    fleets = "\n".join(f"- {sentence}" for sentence in fleets_told(found.fleets))
    chances = "\n".join(f"- {sentence}" for sentence in chances_told(found))
    title = "How true the chances are that Loadrise states (slope 1 and a small loss are right):"
    parts = [fleets, markdown(summary(found.means)), title, chances, where_it_loses(found)]
    return "\n\n".join(parts)
