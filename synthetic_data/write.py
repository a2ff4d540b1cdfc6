"""The files: one sheet an office and quarter, column maps, findings, corrections, the truth."""

from __future__ import annotations

import csv
import shutil
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pandas as pd

from synthetic_data import mess
from synthetic_data.spec import Office, Scenario, load
from synthetic_data.styles import STYLES, Cells, Style, as_cells, in_unit
from synthetic_data.workbook import write_workbook
from synthetic_data.world import simulate

BLANK_EVERY = 400
"""Rows between the blank lines of a sheet that has them; chosen."""


@dataclass(frozen=True)
class FleetSummary:
    """What was written: files and counts.

    `reading_files` holds every sheet, the copies and corrections too; `map_files` one column map
    an office; `row_count` counts the rows of all sheets, `reading_count` each reading once.
    """

    scenario: str
    seed: int
    reading_files: tuple[Path, ...]
    map_files: tuple[Path, ...]
    findings_files: tuple[Path, ...]
    truth_file: Path
    inspection_count: int
    panel_count: int
    reading_count: int
    row_count: int
    findings_count: int
    fault_count: int
    overload_count: int
    clerical_error_count: int


@dataclass(frozen=True)
class Sheet:
    """One office's quarter: where it went, the line of each reading, the rows written."""

    path: Path
    lines: np.ndarray
    row_count: int


def _rows(cells: dict[str, Cells], style: Style, order: np.ndarray) -> list[list[object]]:
    extras = [np.full(len(order), text or None, object) for text in style.extras.values()]
    columns = [values[order].tolist() for values in cells.values()]
    return [list(row) for row in zip(*columns, *(e.tolist() for e in extras), strict=True)]


def _write_csv(
    path: Path, style: Style, header: Sequence[str], rows: list[list[object]]
) -> np.ndarray:
    """Write a CSV; return the line of each row, counted from 1."""
    blanks = np.arange(len(rows)) // BLANK_EVERY if style.has_mark else np.zeros(len(rows), int)
    with path.open("w", encoding="utf-8-sig" if style.has_mark else "utf-8", newline="") as file:
        writer = csv.writer(file, delimiter=style.separator, lineterminator="\r\n")
        writer.writerow(header)
        for number, row in enumerate(rows):
            if style.has_mark and number and number % BLANK_EVERY == 0:
                file.write("\r\n")
            writer.writerow(row)
    lines: np.ndarray = np.arange(len(rows)) + 2 + blanks
    return lines


def _write_sheet(path: Path, style: Style, cells: dict[str, Cells], order: np.ndarray) -> Sheet:
    header = [*style.headers.values(), *style.extras]
    rows = _rows(cells, style, order)
    if style.kind == "xlsx":
        write_workbook(path, style.title, header, rows)
        lines = np.arange(len(rows)) + len(style.title) + 3
    else:
        lines = _write_csv(path, style, header, rows)
    first = np.unique(order, return_index=True)[1]
    return Sheet(path, lines[first], len(rows))


def _correction(
    folder: Path, stem: str, style: Style, good: pd.DataFrame, rng: np.random.Generator
) -> list[Sheet]:
    if good.empty:
        return []
    cells = as_cells(good, style, rng)
    path = folder / f"{stem}_corrections.{style.kind}"
    return [_write_sheet(path, style, cells, np.arange(len(good)))]


def _write_quarter(
    folder: Path, stem: str, style: Style, readings: pd.DataFrame, share: float, seed: int
) -> tuple[list[Sheet], np.ndarray]:
    """Write one office's quarter and its corrections; return the sheets and the error codes."""
    rng = np.random.default_rng([seed, *stem.encode()])
    good = in_unit(readings, style)
    codes = mess.choose(good, style, share, rng)
    cells = as_cells(mess.spoil_numbers(good, codes, style, rng), style, rng)
    mess.spoil_cells(cells, codes, rng)
    sheet = _write_sheet(folder / f"{stem}.{style.kind}", style, cells, mess.repeated(codes))
    return [sheet, *_correction(folder, stem, style, good[codes == "corrected_later"], rng)], codes


def _toml_table(name: str, entries: dict[str, str]) -> str:
    def quoted(text: str) -> str:
        return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'

    lines = [f"{quoted(k)} = {quoted(v)}" for k, v in entries.items()]
    return "\n".join([f"[{name}]", *lines, ""])


def _write_map(folder: Path, office: Office) -> Path:
    """Write the column map that the office would write once."""
    style = STYLES[office.style]
    spellings = {word: name for name, words in style.classes.items() for word in words}
    tables = (
        _toml_table("columns", style.headers),
        _toml_table("constants", {"office_id": office.id}),
        _toml_table("units", {"temp_unit": style.temp_unit}),
        _toml_table("classes", {w.strip(): n for w, n in spellings.items()}),
    )
    path = folder / f"{office.id}_columns.toml"
    path.write_text("\n".join(tables), encoding="utf-8")
    return path


def _copy_some(sheets: list[Sheet], count: int, seed: int) -> dict[Path, Path]:
    """Hand some sheets in twice; return copy -> original."""
    rng = np.random.default_rng([seed, 2])
    picks = rng.choice(len(sheets), min(count, len(sheets)), replace=False)
    copies = {}
    for original in (sheets[int(i)].path for i in sorted(picks)):
        copy = original.with_name(f"{original.stem} (2){original.suffix}")
        shutil.copyfile(original, copy)
        copies[copy] = original
    return copies


def _findings(
    folder: Path, scenario: Scenario, findings: pd.DataFrame, office: pd.Series
) -> list[Path]:
    paths = []
    for known in scenario.offices:
        path = folder / f"findings_{known.id}.csv"
        part = findings[(office == known.id).to_numpy()]
        part.to_csv(path, index=False, date_format="%Y-%m-%d %H:%M", lineterminator="\n")
        paths.append(path)
    return paths


def _office_of(findings: pd.DataFrame, readings: pd.DataFrame) -> pd.Series:
    by_inspection = readings.drop_duplicates("inspection_id").set_index("inspection_id")
    return findings["inspection_id"].map(by_inspection["office_id"])


@dataclass
class _Ledger:
    """What the sheets hold, gathered while they are written."""

    sheets: list[Sheet]
    corrections: list[Sheet]
    code: np.ndarray
    file: np.ndarray
    line: np.ndarray


def _write_readings(
    folder: Path, scenario: Scenario, readings: pd.DataFrame, quarter: pd.Series, seed: int
) -> _Ledger:
    count = len(readings)
    ledger = _Ledger(
        [], [], np.full(count, "", object), np.full(count, "", object), np.zeros(count, np.int64)
    )
    for office in scenario.offices:
        for name in scenario.quarters:
            rows = np.flatnonzero((readings["office_id"] == office.id) & (quarter == name))
            if not len(rows):
                continue
            part, style = readings.iloc[rows], STYLES[office.style]
            stem, share = f"{office.id}_{name}", scenario.clerical.share
            sheets, codes = _write_quarter(folder, stem, style, part, share, seed)
            ledger.sheets.append(sheets[0])
            ledger.corrections += sheets[1:]
            ledger.code[rows], ledger.line[rows] = codes, sheets[0].lines
            ledger.file[rows] = sheets[0].path.name
    return ledger


def _refuse_strangers(folders: list[Path], written: set[Path]) -> None:
    """Raise when files of another run lie among those just written: they would be read as well."""
    strange = sorted(p.name for f in folders for p in f.iterdir() if p not in written)
    if strange:
        raise FileExistsError(
            f"{len(strange)} files of another run are left in {folders[0].parent} "
            f"({', '.join(strange[:3])} …): write into an empty folder."
        )


def _write_truth(out: Path, truth: pd.DataFrame, ledger: _Ledger, copies: dict[Path, Path]) -> Path:
    truth = truth.copy()
    twice = {original.name for original in copies.values()}
    truth["clerical_error"] = pd.Series(ledger.code, dtype="str").replace("", None)
    truth["is_delivered_twice"] = pd.Series(ledger.file).isin(twice)
    truth["file"] = pd.Series(ledger.file, dtype="str")
    truth["line"] = ledger.line
    path = out / "truth.parquet"
    truth.to_parquet(path, index=False)
    return path


def generate(
    scenario: str | Path, seed: int, out: Path, inspections: int | None = None
) -> FleetSummary:
    """Write an invented firm's records into `out`: readings/, findings/, truth.parquet.

    The same scenario, seed and number of inspections give the same bytes.

    Args: scenario, a name or a TOML file; inspections, in place of the scenario's number.
    Returns what was written. Raises ScenarioError when the scenario is wrong, FileExistsError
    when files of another run lie in `out`.
    """
    loaded = load(scenario, inspections)
    readings, findings, truth = simulate(loaded, seed)
    folders = [out / "readings", out / "findings"]
    for folder in folders:
        folder.mkdir(parents=True, exist_ok=True)
    ledger = _write_readings(folders[0], loaded, readings, truth["quarter"], seed)
    copies = _copy_some(ledger.sheets, loaded.clerical.files_twice, seed)
    written = [*ledger.sheets, *ledger.corrections]
    row_counts = {s.path: s.row_count for s in written}
    repeated = sum(row_counts[original] for original in copies.values())
    maps = tuple(_write_map(folders[0], o) for o in loaded.offices)
    found = tuple(_findings(folders[1], loaded, findings, _office_of(findings, readings)))
    _refuse_strangers(folders, {*row_counts, *copies, *maps, *found})
    return FleetSummary(
        scenario=loaded.name,
        seed=seed,
        reading_files=tuple(sorted([*row_counts, *copies])),
        map_files=maps,
        findings_files=found,
        truth_file=_write_truth(out, truth, ledger, copies),
        inspection_count=readings["inspection_id"].nunique(),
        panel_count=readings["panel_id"].nunique(),
        reading_count=len(readings),
        row_count=sum(row_counts.values()) + repeated,
        findings_count=len(findings),
        fault_count=int((truth["truth"] != "healthy").sum()),
        overload_count=int(truth["is_overload"].sum()),
        clerical_error_count=int((ledger.code != "").sum()),
    )
