"""The commands that make a page: `loadrise quarter` and `loadrise demo`."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from analytics.cli.main import loadrise
from analytics.notices import SHORT_CAUTION
from analytics.warehouse import open_store
from tests.cli.fleet import make_store


def _run(*words: object, code: int = 0) -> Result:
    result = CliRunner().invoke(loadrise, [str(word) for word in words])
    assert result.exit_code == code, result.output
    return result


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_store(tmp_path_factory.mktemp("store") / "fleet.duckdb")


def _flat(text: str) -> str:
    return " ".join(text.replace("\u00a0", " ").split())


def test_quarter_writes_a_page(store: Path, tmp_path: Path) -> None:
    result = _run("--store", store, "quarter", "2026Q2", "--out", tmp_path, "--unit", "degC")
    page = tmp_path / "quarter-2026Q2.html"
    assert page.read_text(encoding="utf-8").startswith("<!doctype html>")
    assert "In 2026Q2, 9 panels were scanned" in _flat(result.output)
    assert str(page) in result.output
    assert SHORT_CAUTION in _flat(result.output)


def test_quarter_without_readings_is_no_error(store: Path, tmp_path: Path) -> None:
    result = _run("--store", store, "quarter", "2031Q1", "--out", tmp_path)
    assert "There are no judged readings of 2031Q1." in result.output
    assert (tmp_path / "quarter-2031Q1.html").exists()


def test_quarter_refuses_what_is_none(store: Path, tmp_path: Path) -> None:
    result = _run("--store", store, "quarter", "Q3", "--out", tmp_path, code=2)
    assert "is no quarter" in result.output
    assert list(tmp_path.iterdir()) == []


def test_quarter_before_any_verdict_says_so(tmp_path: Path) -> None:
    bare = make_store(tmp_path / "bare.duckdb", is_screened=False)
    result = _run("--store", bare, "quarter", "2026Q2", "--out", tmp_path)
    assert "No reading in this store has been judged yet." in result.output
    assert (tmp_path / "quarter-2026Q2.html").exists()
    without = _run("--store", bare, "quarter", "--out", tmp_path, code=1)
    assert "has a verdict" in without.output


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    folder = tmp_path_factory.mktemp("demo")
    return folder, _run("demo", "--out", folder, "--scenario", "small").output


def test_demo_takes_the_fleet_through_every_step(demo: tuple[Path, str]) -> None:
    folder, output = demo
    steps = re.findall(r"^(\d) of 5  \S.*? +\d+\.\d s  \S", output, flags=re.MULTILINE)
    assert steps == list("12345")
    assert (folder / "fleet.duckdb").exists()
    assert (folder / "quarter-2026Q3.html").exists()
    for name in ("quarter-2026Q3.html", "index.html", "pocket.html"):
        assert (folder / name).read_text(encoding="utf-8").startswith("<!doctype html>")
        assert str(folder / name) in output
    index = (folder / "index.html").read_text(encoding="utf-8")
    assert 'href="quarter-2026Q3.html"' in index
    assert 'href="pocket.html"' in index
    assert SHORT_CAUTION in _flat(output)


def test_demo_names_the_readings_worth_a_second_look(demo: tuple[Path, str]) -> None:
    folder, output = demo
    with open_store(folder / "fleet.duckdb", read_only=True) as warehouse:
        given = {"allowed_k": 50.0, "any_share": 1.0, "known_on": None}
        listed = warehouse.rows("marts.quarter_listed", quarter="2026Q3", **given)
        flagged = [row[0] for row in listed if row[9] != "overload"]
        cases = warehouse.rows("marts.quarter_case", reading_ids=flagged[:10])
        reasons = [row[7] for row in cases]
    listed = output.split("Most worth a second look:")[1]
    for case, reason in zip(cases, reasons, strict=True):
        assert f"{case[2]}, panel {case[3]}, " in listed
        assert reason in listed
    assert cases


def test_demo_again_changes_nothing(demo: tuple[Path, str], tmp_path: Path) -> None:
    folder = tmp_path / "again"
    shutil.copytree(demo[0], folder)
    pages = [folder / name for name in ("quarter-2026Q3.html", "index.html")]
    before = [page.read_bytes() for page in pages]
    output = _run("demo", "--out", folder, "--scenario", "small").output
    assert re.search(r"0 rows kept, .*(\d+) of \1 files brought nothing new", output)
    assert [page.read_bytes() for page in pages] == before


def test_demo_leaves_a_firms_own_store_alone(store: Path, tmp_path: Path) -> None:
    own = shutil.copy(store, tmp_path / "own.duckdb")
    result = _run("--store", own, "demo", "--out", tmp_path / "d", "--scenario", "small", code=2)
    assert "holds other readings than this invented fleet" in result.output
    with open_store(own, read_only=True) as warehouse:
        assert warehouse.fetch("select count(*) from records.source_file") == [(1,)]


def test_demo_refuses_an_unknown_scenario(tmp_path: Path) -> None:
    result = _run("demo", "--out", tmp_path, "--scenario", "nowhere", code=2)
    assert "nowhere" in result.output
