"""A query that fails tells its title and the trouble; the SQL only to those who ask for it."""

from __future__ import annotations

from pathlib import Path

import pytest

from analytics.errors import QueryError, query_failed
from analytics.warehouse import open_store
from tests.cli.conftest import Run

WORDS = ("export", "screening", "--out", "out.csv")


@pytest.fixture
def broken(fleet: Path) -> Path:
    """Take a column out of the store's last screening, as no command does."""
    with open_store(fleet / "fleet.duckdb") as warehouse:
        warehouse.execute("alter table screening.result drop column score")
    return fleet


def test_title_trouble_and_what_to_do(
    broken: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("LOADRISE_SHOW_SQL", raising=False)
    done = run(*WORDS)
    assert (done.returncode, done.stdout) == (1, "")
    first, second = done.stderr.splitlines()
    assert first.startswith("loadrise: The query “The last screening, as exported” failed: ")
    assert "score" in first
    assert "LOADRISE_SHOW_SQL=1" in second
    monkeypatch.setenv("LOADRISE_SHOW_SQL", "1")
    assert "from screening.result" in run(*WORDS).stderr


def test_a_traceback_has_all_of_it() -> None:
    error = query_failed("-- title: Sums\nselect x", "Binder Error: no x\nLINE 2: select x")
    assert error.message == "The query “Sums” failed: Binder Error: no x"
    assert error.__notes__ == ["Binder Error: no x\nLINE 2: select x\nin: -- title: Sums\nselect x"]


def test_a_statement_without_a_title_keeps_its_trouble() -> None:
    with open_store() as warehouse, pytest.raises(QueryError, match="Error") as caught:
        warehouse.fetch("select * from nowhere")
    assert "nowhere" in caught.value.message
    assert "\n" not in caught.value.message
    assert caught.value.sql == "select * from nowhere"
