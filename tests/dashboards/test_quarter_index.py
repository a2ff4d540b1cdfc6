"""The page over all quarters: a row each, links that lead somewhere, rewritten with every page."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from analytics.warehouse import open_store
from dashboards.pages.quarter_index import index_page
from dashboards.quarter import collect_overview
from dashboards.quarter_files import write_all, write_index, write_quarter
from dashboards.render import render
from tests.cli.fleet import make_store
from tests.dashboards.reader import words_of
from tests.gold.tables import LAST, small_fleet
from tests.gold.trends import trends


@pytest.fixture(scope="module")
def fleet(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_store(tmp_path_factory.mktemp("index") / "fleet.duckdb")


def _links(text: str) -> list[str]:
    return re.findall(r'<a href="(quarter[^"]*)"', text)


def test_a_quarter_is_linked_once_its_page_is_there(fleet: Path, tmp_path: Path) -> None:
    with open_store(fleet, read_only=True) as store:
        first = write_quarter(store, "2026Q1", tmp_path, "degF")
        assert _links(first.index.read_text(encoding="utf-8")) == ["quarter-2026Q1.html"]
        write_quarter(store, "2026Q3", tmp_path, "degF")
    text = (tmp_path / "index.html").read_text(encoding="utf-8")
    assert _links(text) == ["quarter-2026Q3.html", "quarter-2026Q1.html"]
    assert re.findall(r"<h3>.*?(\d{4}Q\d).*?</h3>", text)[:3] == ["2026Q3", "2026Q2", "2026Q1"]
    assert all((tmp_path / link).exists() for link in _links(text))
    assert sorted(one.name for one in tmp_path.iterdir() if one.is_file()) == [
        "index.html", "quarter-2026Q1.html", "quarter-2026Q3.html",
    ]  # fmt: skip


def test_all_quarters_at_once(fleet: Path, tmp_path: Path) -> None:
    with open_store(fleet, read_only=True) as store:
        made = write_all(store, tmp_path / "all", "degC")
        alone = write_quarter(store, "2026Q2", tmp_path / "one", "degC")
    assert [one.record.quarter for one in made] == ["2026Q1", "2026Q2", "2026Q3"]
    assert made[1].page.read_bytes() == alone.page.read_bytes()


def test_a_row_holds_counts_shares_signals() -> None:
    """Three of eleven judged readings of 2026Q3 are flagged: 27 %, Wilson's ends 9.7 and 57 %."""
    with small_fleet() as store:
        made = index_page(collect_overview(store, LAST, trends()), {LAST: "quarter-2026Q3.html"})
    assert [row.quarter for row in made.rows] == ["2026Q3", "2026Q2", "2025Q4"]
    assert [row.href for row in made.rows] == ["quarter-2026Q3.html", "", ""]
    flagged = {label: (value, remark) for label, value, remark in made.rows[0].numbers}["flagged"]
    assert flagged == ("3", "27\u00a0% (9.7 to 57\u00a0%)")
    assert made.rows[0].signals.startswith("7 signals, 6 new: firm the whole firm has 1.6 times")
    assert made.rows[1].signals == "1 signal, 1 new: camera C2 reads 5.4 °F warmer."
    assert made.rows[2].signals == "Nothing stands apart more than chance brings."
    words = words_of(render(made, "index"))
    assert "3 quarters of panel scans, 2025Q4 to 2026Q3" in words
    assert (
        "In 2 of the 3 quarters something differed from the others, or from its own past" in words
    )
    assert "The latest, 2026Q3: firm the whole firm has 1.6 times" in words


def test_an_index_of_nothing_says_so(tmp_path: Path) -> None:
    with open_store() as store:
        path = write_index(store, tmp_path, "degF")
    words = words_of(path.read_text(encoding="utf-8"))
    assert "No reading in this store has been judged yet." in words
    assert "Cautions" in words
