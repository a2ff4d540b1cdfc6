"""Odd quarters on real stores: fitted, screened, followed; each has a page that says what it is."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from analytics.warehouse import open_store
from dashboards.quarter_files import write_quarter
from tests.cli.fleet import make_store
from tests.dashboards.reader import words_of

Told = Callable[..., str]
LATE = "select reading_id from normalise.measure where quarter = '2026Q3'"


@pytest.fixture(scope="module")
def fleet(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a screened store of 24 visits in 2026Q1 to 2026Q3, one hot device in 2026Q2."""
    return make_store(tmp_path_factory.mktemp("states") / "fleet.duckdb")


@pytest.fixture
def told(fleet: Path, tmp_path: Path) -> Told:
    """Return a function that changes a copy of the store, writes a page and returns its words."""

    def tell(quarter: str, *statements: str) -> str:
        path = shutil.copy(fleet, tmp_path / "copy.duckdb")
        with open_store(path) as store:
            for sql in statements:
                store.execute(sql)
            made = write_quarter(store, quarter, tmp_path / "pages", "degF")
        return words_of(made.page.read_text(encoding="utf-8"))

    return tell


def _without(where: str) -> tuple[str, ...]:
    ids = f"select reading_id from normalise.measure where {where}"
    return (
        f"delete from screening.result where reading_id in ({ids})",
        f"delete from normalise.measure where {where}",
    )


def test_a_quarter_with_no_data(told: Told) -> None:
    words = told("2027Q1")
    assert "There are no judged readings of 2027Q1." in words
    assert "Quarters with readings: 2026Q1, 2026Q2, 2026Q3." in words
    assert "What changed" not in words
    assert "Cautions" in words


def test_a_quarter_before_the_first(told: Told) -> None:
    assert "There are no judged readings of 2019Q4." in told("2019Q4")


def test_a_store_with_no_readings_left(told: Told) -> None:
    words = told("2026Q3", *_without("true"))
    assert "The store has no readings at all." in words


def test_a_quarter_with_one_inspection(told: Told) -> None:
    words = told("2026Q3", *_without("quarter = '2026Q3' and inspection_id <> 'V006'"))
    assert "In 2026Q3, 1 panel was scanned with 8 readings" in words
    assert (
        "No camera has enough inspections, now and earlier, to be set against its own past" in words
    )


def test_one_class_has_nothing_to_compare(told: Told) -> None:
    words = told("2026Q3")
    assert "All judged readings are of one class, “standard”: there is nothing to compare." in words


def test_no_findings(told: Told) -> None:
    words = told("2026Q3")
    assert "none was flagged (95 % interval 0.0 to" in words
    assert "No reading of this quarter was flagged." in words
    assert "No finding of an electrician is on record" in words


def test_a_firms_first_quarter(told: Told) -> None:
    words = told("2026Q1")
    assert "This is the first quarter in the store, so there is no change to report." in words
    assert "2026Q1 is the first quarter: there is none to compare it with yet." in words
    assert "Nothing and nobody changed against its own past" not in words
    assert "against their own past" not in words
    assert "over the year to" not in words
    assert "the limits that earlier quarters set" not in words


def test_a_quarter_where_nothing_could_be_judged(told: Told) -> None:
    words = told(
        "2026Q3",
        f"update screening.result set verdict = 'cannot_judge' where reading_id in ({LATE})",
    )
    assert "none could be judged , so nothing can be said of faults or overloads." in words
    assert "No reading of 2026Q3 could be judged." in words


def test_before_any_fit_and_screening(tmp_path: Path) -> None:
    bare = make_store(tmp_path / "bare.duckdb", is_screened=False)
    with open_store(bare, read_only=True) as store:
        made = write_quarter(store, "2026Q2", tmp_path, "degF")
    text = made.page.read_text(encoding="utf-8")
    assert "No reading in this store has been judged yet." in text
    assert "Run loadrise fit, then loadrise screen" in text


def test_an_empty_store(tmp_path: Path) -> None:
    with open_store(tmp_path / "empty.duckdb") as store:
        made = write_quarter(store, "2026Q2", tmp_path, "degF")
    assert "has been judged yet" in made.page.read_text(encoding="utf-8")


def test_what_is_no_quarter_writes_nothing(fleet: Path, tmp_path: Path) -> None:
    from analytics.errors import UsageError

    with (
        open_store(fleet, read_only=True) as store,
        pytest.raises(UsageError, match="is no quarter"),
    ):
        write_quarter(store, "2026-3", tmp_path / "pages", "degF")
    assert not (tmp_path / "pages").exists()
