"""What is written: same bytes, counts, every clerical error where the truth says it is."""

import csv
import tomllib
from hashlib import sha256
from importlib.resources import files
from pathlib import Path

import openpyxl
import pandas as pd
import pytest

from synthetic_data import ScenarioError, generate, mess
from synthetic_data.__main__ import main
from synthetic_data.styles import STYLES

CODES = {e.code for e in mess.ERRORS}


def digests(folder: Path) -> dict[str, str]:
    found = sorted(p for p in folder.rglob("*") if p.is_file())
    return {str(p.relative_to(folder)): sha256(p.read_bytes()).hexdigest() for p in found}


def scenario_text(name: str) -> str:
    return files("synthetic_data").joinpath("scenarios", f"{name}.toml").read_text("utf-8")


@pytest.fixture(scope="module")
def messy(tmp_path_factory):
    """Return a fleet of 300 visits with every fifth row spoilt, and its truth."""
    folder = tmp_path_factory.mktemp("messy")
    path = folder / "messy.toml"
    path.write_text(scenario_text("small") + "share = 0.2\n", encoding="utf-8")
    summary = generate(path, 5, folder / "out", inspections=300)
    return summary, pd.read_parquet(summary.truth_file)


def csv_rows(path: Path, style: str) -> list[dict[str, str]]:
    """Return the rows by line (index 0 is line 1), under canonical names."""
    kept = STYLES[style]
    names = {header: name for name, header in kept.headers.items()}
    with path.open(encoding="utf-8-sig", newline="") as file:
        lines = list(csv.reader(file, delimiter=kept.separator))
    header = [names.get(h, h) for h in lines[0]]
    return [dict(zip(header, line, strict=False)) for line in lines]


def spoilt(messy, code: str, office: str) -> list[tuple[pd.Series, dict[str, str]]]:
    """Return (truth, row in the sheet) of every error of a kind in an office's CSV files."""
    summary, truth = messy
    style = {"north": "fahrenheit_csv", "valley": "celsius_csv"}[office]
    pairs = []
    for path in summary.reading_files:
        hit = truth[(truth["file"] == path.name) & (truth["clerical_error"] == code)]
        if path.suffix == ".csv" and path.name.startswith(office):
            rows = csv_rows(path, style)
            pairs += [(row, rows[row["line"] - 1]) for _, row in hit.iterrows()]
    assert pairs, code
    return pairs


def test_same_seed_same_bytes_other_seed_other_bytes(tmp_path):
    for name, seed in (("a", 7), ("b", 7), ("c", 8)):
        generate("small", seed, tmp_path / name)
    first, second, third = (digests(tmp_path / n) for n in "abc")
    assert first == second
    assert set(first) & set(third)
    assert all(first[n] != third[n] for n in first if n in third and not n.endswith(".toml"))


def test_demo_has_the_counts_it_promises(tmp_path):
    summary = generate("demo", 7, tmp_path)
    truth = pd.read_parquet(summary.truth_file)
    assert summary.inspection_count == 4000
    assert summary.reading_count == len(truth) == pytest.approx(100_000, rel=0.03)
    assert summary.panel_count == pytest.approx(0.9 * 1.05 * 4000, rel=0.03)
    assert summary.fault_count / len(truth) == pytest.approx(0.016, abs=0.002)
    assert summary.clerical_error_count / len(truth) == pytest.approx(0.015, abs=0.0015)
    assert set(truth["clerical_error"].dropna()) == CODES
    sheets = [p for p in summary.reading_files if "(2)" not in p.name and "_corr" not in p.name]
    assert len(sheets) == 3 * 12
    assert len([p for p in summary.reading_files if "(2)" in p.name]) == 2


def test_clean_is_clean(tmp_path):
    summary = generate("clean", 1, tmp_path, inspections=100)
    truth = pd.read_parquet(summary.truth_file)
    assert summary.fault_count == summary.clerical_error_count == summary.overload_count == 0
    assert summary.row_count == summary.reading_count == len(truth)
    assert truth["clerical_error"].isna().all()
    assert truth["lift_from_neighbours_k"].abs().max() == 0.0


def test_every_row_is_counted(messy):
    summary, truth = messy
    written = 0
    for path in summary.reading_files:
        if path.suffix == ".xlsx":
            written += openpyxl.load_workbook(path).worksheets[0].max_row - 4
        else:
            style = STYLES["fahrenheit_csv" if path.name.startswith("north") else "celsius_csv"]
            with path.open(encoding="utf-8-sig", newline="") as file:
                written += sum(map(any, csv.reader(file, delimiter=style.separator))) - 1
    assert written == summary.row_count
    twice = (truth["clerical_error"] == "duplicate_row").sum()
    corrected = (truth["clerical_error"] == "corrected_later").sum()
    assert written >= len(truth) + twice + corrected


@pytest.mark.parametrize("office", ["north", "valley"])
def test_truth_points_at_its_line(messy, office):
    summary, truth = messy
    style = {"north": "fahrenheit_csv", "valley": "celsius_csv"}[office]
    checked = 0
    for path in summary.reading_files:
        rows = csv_rows(path, style) if path.name.startswith(office) else []
        good = truth[(truth["file"] == path.name) & truth["clerical_error"].isna()]
        for row in good.itertuples() if rows else ():
            cells = rows[row.line - 1]
            assert cells["inspection_id"] == row.inspection_id
            assert int(cells["position"]) == row.position
            checked += 1
    assert checked > 500


def test_workbooks_have_titles_units_in_cells_and_fixed_dates(messy):
    summary, truth = messy
    path = next(p for p in summary.reading_files if p.suffix == ".xlsx" and "_corr" not in p.name)
    book = openpyxl.load_workbook(path)
    sheet = book.worksheets[0]
    assert sorted(str(r) for r in sheet.merged_cells.ranges) == ["A1:U1", "A2:U2"]
    assert [c.value for c in sheet[4]] == list(STYLES["fahrenheit_workbook"].headers.values())
    assert book.properties.created.isoformat() == "2020-01-01T00:00:00"
    good = truth[(truth["file"] == path.name) & truth["clerical_error"].isna()]
    for row in good.head(200).itertuples():
        cells = [c.value for c in sheet[row.line]]
        assert (cells[0], cells[12]) == (row.inspection_id, row.position)
        assert cells[8].endswith(" °F")
        assert cells[16].endswith("A")


def test_all_errors_turn_up(messy):
    _, truth = messy
    assert set(truth["clerical_error"].dropna()) == CODES
    assert truth["clerical_error"].notna().mean() == pytest.approx(0.2, abs=0.02)
    assert truth["is_delivered_twice"].any()


def test_tenfold_and_negative_currents(messy):
    for code, factor in (("tenfold_current", 10.0), ("negative_current", -1.0)):
        for truth, row in spoilt(messy, code, "north"):
            limit = 0.02 * truth["true_current_a"] + 0.5  # clamp ±(2 % + 5 digits), two sigma
            most = 2.5 * limit + (0.38 * truth["true_current_a"] if truth["is_one_leg"] else 0.0)
            assert float(row["current_a"]) / factor == pytest.approx(
                truth["true_current_a"], abs=most + 0.1
            )


def test_other_units_and_swapped_temperatures(messy):
    for truth, row in spoilt(messy, "other_unit", "north"):
        assert float(row["device_temp"]) == pytest.approx(truth["true_face_degc"], abs=8.0)
    for truth, row in spoilt(messy, "other_unit", "valley"):
        shown = (float(row["device_temp"].replace(",", ".")) - 32.0) / 1.8
        assert shown == pytest.approx(truth["true_face_degc"], abs=8.0)
    for _, row in spoilt(messy, "swapped_temperatures", "north"):
        assert float(row["ambient_temp"]) > float(row["device_temp"])
    for _, row in spoilt(messy, "ambient_above_device", "north"):
        assert float(row["ambient_temp"]) > float(row["device_temp"])
    for _, row in spoilt(messy, "lost_digit", "north"):
        assert 10.0 <= float(row["device_temp"]) < 30.0


def test_cells_that_are_empty_or_hold_words(messy):
    for _, row in spoilt(messy, "blank_position", "north"):
        assert row["position"] == ""
    for _, row in spoilt(messy, "missing_cell", "valley"):
        assert "" in {row[name] for name in mess.REQUIRED}
    for _, row in spoilt(messy, "text_in_number", "north"):
        assert {row[n] for n in ("device_temp", "ambient_temp", "current_a")} & set(mess.WORDS)
    for _, row in spoilt(messy, "unknown_class", "valley"):
        assert row["device_class"] in mess.UNKNOWN_CLASSES


def test_odd_ratings_thin_wires_and_late_dates(messy):
    for _, row in spoilt(messy, "odd_rating", "north"):
        assert float(row["rated_a"]) not in {15, 20, 30, 40, 50, 60, 100, 125, 150, 200}
    for _, row in spoilt(messy, "thin_conductor", "north"):
        assert row["conductor_awg"] == "14"
        assert float(row["rated_a"]) >= 30
    for _, row in spoilt(messy, "future_date", "north"):
        assert int(row["inspected_at"][:4]) > 2026 + 4
    for _, row in spoilt(messy, "absurd_load", "north"):
        assert float(row["current_a"]) > 2.4 * float(row["rated_a"])


def test_duplicates_follow_their_row_and_corrections_come_later(messy):
    summary, _ = messy
    style = "fahrenheit_csv"
    by_name = {p.name: p for p in summary.reading_files}
    for truth, row in spoilt(messy, "duplicate_row", "north"):
        rows = csv_rows(by_name[truth["file"]], style)
        following = [r for r in rows[truth["line"] : truth["line"] + 2] if any(r.values())]
        assert following[0] == row
    for truth, row in spoilt(messy, "corrected_later", "north"):
        later = by_name[truth["file"].replace(".csv", "_corrections.csv")]
        key = ("inspection_id", "panel_id", "position")
        same = [r for r in csv_rows(later, style) if all(r.get(k) == row[k] for k in key)]
        assert len(same) == 1
        assert float(same[0]["device_temp"]) < float(row["device_temp"])


def test_column_maps_name_what_is_in_the_sheets(messy):
    summary, _ = messy
    for path in summary.map_files:
        table = tomllib.loads(path.read_text("utf-8"))
        office = path.name.split("_")[0]
        sheet = next(p for p in summary.reading_files if p.name.startswith(office))
        if sheet.suffix == ".csv":
            separator = ";" if office == "valley" else ","
            header = sheet.read_text("utf-8-sig").splitlines()[0].split(separator)
        else:
            header = [c.value for c in openpyxl.load_workbook(sheet).worksheets[0][4]]
        assert set(table["columns"].values()) <= set(header)
        assert table["units"]["temp_unit"] == ("degC" if office == "valley" else "degF")
        assert "standard" in table["classes"].values()


def test_files_of_another_run_are_refused(tmp_path):
    generate("small", 1, tmp_path, inspections=5)
    generate("small", 1, tmp_path, inspections=5)
    (tmp_path / "readings" / "old.csv").write_text("x")
    with pytest.raises(FileExistsError, match=r"old\.csv"):
        generate("small", 1, tmp_path, inspections=5)


def test_command(tmp_path, capsys):
    arguments = ["--scenario", "small", "--seed", "1", "--inspections", "3"]
    assert main([*arguments, "--out", str(tmp_path / "out")]) == 0
    assert "readings of 3 panels in 3 inspections" in capsys.readouterr().out
    assert main(["--scenario", "nope", "--seed", "1", "--out", str(tmp_path)]) == 2
    assert "known: clean, demo, small, steady" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("name = ", "not TOML"),
        ('colour = "red"\n' + scenario_text("small"), "unknown keys"),
        (scenario_text("small").replace('"2026Q2"', '"spring"'), "must look like"),
        (scenario_text("small").replace("inspections = 60", ""), "missing keys"),
        (scenario_text("small").replace("inspections = 60", "inspections = 0"), "the least"),
    ],
)
def test_wrong_scenarios_say_what_is_wrong(tmp_path, text, says):
    path = tmp_path / "wrong.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(ScenarioError, match=says):
        generate(path, 1, tmp_path / "out")
