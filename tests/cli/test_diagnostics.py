"""`loadrise diagnostics` as a person runs it."""

from __future__ import annotations

import json
from pathlib import Path

from analytics.warehouse import open_store
from tests.cli.conftest import Run


def test_it_writes_a_page_and_only_reads_the_store(run: Run, fleet: Path) -> None:
    before = (fleet / "fleet.duckdb").read_bytes()
    done = run("diagnostics", "--out", "pages", "--unit", "degC")
    assert done.returncode == 0, done.stderr
    assert "The baseline learned from 191 clamped readings of 192." in done.stdout
    assert "Page: pages/diagnostics.html" in done.stdout
    assert "qualified persons only" in done.stdout
    text = (fleet / "pages" / "diagnostics.html").read_text(encoding="utf-8")
    assert text.startswith("<!doctype html>")
    assert "so weights change nothing" in text
    assert (fleet / "fleet.duckdb").read_bytes() == before


def test_the_numbers_come_as_json(run: Run) -> None:
    done = run("diagnostics", "--no-weights-check", "--json")
    found = json.loads(done.stdout)
    assert found["counts"]["reading_count"] == 192
    assert found["counts"]["taught_count"] == 191
    assert {group["channel"] for group in found["groups"]} >= {"face"}
    assert found["weights"]["trouble"] == "Left out, as was asked for."
    assert "qualified persons only" in found["caution"]


def test_an_empty_store_gives_a_page(run: Run, fleet: Path) -> None:
    open_store(fleet / "new.duckdb").close()
    done = run("diagnostics", store="new.duckdb")
    assert done.returncode == 0, done.stderr
    assert "No reading in this store has been judged yet." in done.stdout
    text = (fleet / "diagnostics.html").read_text(encoding="utf-8")
    assert "There is nothing to weigh yet." in text


def test_a_store_that_is_not_there_is_told(run: Run) -> None:
    done = run("diagnostics", store="gone.duckdb")
    assert done.returncode == 1
    assert "There is no store at gone.duckdb" in done.stderr
