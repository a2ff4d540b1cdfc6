"""Odd values of options: one sentence, exit code 1 or 2, nothing written."""

from __future__ import annotations

from pathlib import Path

import pytest

from analytics.drafts import put_in_place
from analytics.errors import UsageError
from analytics.policy import default_text, parse
from tests.cli.conftest import Run
from tests.cli.fleet import make_store
from tests.cli.test_tune import COSTS, find

WEIGHING = ("--missed-cost", "--visit-cost", "--most-visits")


@pytest.mark.parametrize("value", ["nan", "inf", "1e308", "0", "-1", "text", ""])
@pytest.mark.parametrize("option", WEIGHING)
def test_what_cannot_be_counted_with_is_no_amount(run: Run, option: str, value: str) -> None:
    done = run("tune", *COSTS, option, value)
    assert (done.returncode, done.stdout) == (2, "")
    assert f"Invalid value for '{option}'" in done.stderr
    assert "Warning" not in done.stderr


@pytest.mark.parametrize("asked", [("--plan", "2"), ("--findings",), ("--against", "firm.toml")])
@pytest.mark.parametrize(
    "idle", [("--out", "best.toml"), COSTS, ("--most-visits", "3"), ("--by", "load")]
)
def test_an_option_that_would_be_idle_is_refused(
    run: Run, fleet: Path, asked: tuple[str, ...], idle: tuple[str, ...]
) -> None:
    (fleet / "firm.toml").write_text(default_text(), encoding="utf-8")
    done = run("tune", *asked, *idle)
    assert done.returncode == 2
    assert f"{idle[0]} does nothing beside {asked[0]}." in done.stderr
    assert not (fleet / "best.toml").exists()


def test_where_no_policy_is_recommended_the_page_is_there_and_the_policy_is_not(
    run: Run, fleet: Path
) -> None:
    find(fleet / "fleet.duckdb", rest=True)
    done = run("tune", "--page", "pages", "--out", "best.toml")
    assert done.returncode == 1, "the command was right, there was nothing to write"
    assert "No policy is recommended, so best.toml was not written." in done.stderr
    assert not (fleet / "best.toml").exists()
    assert {path.name for path in (fleet / "pages").iterdir()} == {
        "tuning.html", "examine.html", "examine.csv",
    }  # fmt: skip


def test_a_slot_beyond_all_numbers_is_refused(run: Run) -> None:
    done = run("explain", "V003", "P003", "9" * 20)
    assert done.returncode == 2
    assert "is not in the range" in done.stderr


def test_a_page_without_a_name_is_refused(run: Run) -> None:
    done = run("pocket", "--out", "")
    assert (done.returncode, done.stdout) == (2, "")
    assert "a folder is in the way or missing" in done.stderr


@pytest.mark.parametrize("name", ["", ".", "..", "/", "none/best.toml"])
def test_no_file_is_put_where_a_folder_is_or_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises(UsageError, match="a folder"), put_in_place(Path(name)) as draft:
        draft.write_text("never")
    assert list(tmp_path.iterdir()) == []


def test_what_cannot_be_written_is_named_as_it_was_given(tmp_path: Path) -> None:
    out = tmp_path / ("n" * 300 + ".csv")
    with pytest.raises(OSError, match="too long") as found, put_in_place(out) as draft:
        draft.write_text("never")
    assert found.value.filename == str(out)


def test_before_a_screening_the_quarter_says_what_to_run(run: Run, tmp_path: Path) -> None:
    make_store(tmp_path / "bare.duckdb", is_screened=False)
    done = run("quarter", store="bare.duckdb")
    assert done.returncode == 1
    assert "Run loadrise ingest, fit and screen first." in done.stderr
    done = run("quarter", "--all", "--out", "pages", store="bare.duckdb")
    assert "No reading has a verdict yet." in done.stdout
    assert "All quarters: pages/index.html" in done.stdout


@pytest.mark.parametrize(
    ("value", "told"),
    [
        ("inf", "flag.heat_ratio is inf, a number from 1 to 1e+06 is wanted"),
        ("1e308", "flag.heat_ratio is 1e+308, a number from 1 to 1e+06 is wanted"),
        ("1" + 400 * "0", "flag.heat_ratio is a number of too many digits"),
        ("0x1" + 4000 * "f", "flag.heat_ratio is a number of too many digits"),
        ("1" + 5000 * "0", "holds a number of too many digits"),
    ],
)
def test_a_line_beyond_all_numbers_is_told(value: str, told: str) -> None:
    text = default_text().replace("heat_ratio = 1.3", f"heat_ratio = {value}")
    with pytest.raises(UsageError) as trouble:
        parse(text, "firm")
    assert told in trouble.value.message
