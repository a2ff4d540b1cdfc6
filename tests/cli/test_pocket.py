"""`loadrise pocket` as a person runs it."""

from __future__ import annotations

from pathlib import Path

from tests.cli.conftest import Run


def test_a_page_is_written_and_said(run: Run, fleet: Path) -> None:
    done = run("pocket", "--out", "pages/pocket.html")
    assert done.returncode == 0, done.stderr
    page = fleet / "pages" / "pocket.html"
    assert page.read_text(encoding="utf-8").startswith("<!doctype html>")
    assert "Baseline b" in done.stdout
    assert "pocket.html (0." in done.stdout
    assert "qualified persons only" in done.stdout


def test_the_store_stays_as_it_was(run: Run, fleet: Path) -> None:
    before = (fleet / "fleet.duckdb").read_bytes()
    assert run("pocket", "--out", "pocket.html").returncode == 0
    assert (fleet / "fleet.duckdb").read_bytes() == before


def test_without_a_baseline_it_says_what_to_do(run: Run, fleet: Path) -> None:
    run("ingest", "readings.csv", store="new.duckdb")
    done = run("pocket", "--out", "pocket.html", store="new.duckdb")
    assert done.returncode == 1
    assert "loadrise fit" in done.stderr
    assert not (fleet / "pocket.html").exists()
