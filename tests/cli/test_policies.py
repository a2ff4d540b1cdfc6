"""Policies adopted, listed and refused, and past verdicts told, as a person would type it."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from analytics.policy import default_text
from tests.cli.conftest import Run
from tests.cli.test_tune import find


def firm(folder: Path, *moved: tuple[str, str], name: str = "firm.toml") -> Path:
    """Write a policy with these texts replaced."""
    text = default_text()
    for old, new in moved:
        assert old in text
        text = text.replace(old, new)
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def test_faults_of_a_policy_stand_on_lines_of_their_own_with_what_was_meant(
    run: Run, fleet: Path
) -> None:
    firm(
        fleet, ("heat_ratio = 1.3", "heat_ratoi = 1.3"), ("lift_k = 2.0", "lift_k = -1"),
        name="typo.toml",
    )  # fmt: skip
    done = run("adopt", "typo.toml")
    assert done.returncode == 2
    head, *rows = done.stderr.splitlines()
    assert head == "loadrise: The policy typo.toml cannot be used:"
    told = "\n".join(rows)
    assert "flag.heat_ratoi is no line of a policy; flag.heat_ratio may be meant" in told
    assert "flag.heat_ratio is missing" in told
    assert "flag.lift_k is -1, a number from 0 to 1e+06 is wanted" in told
    assert len(rows) == 3


def test_less_than_the_usual_heat_is_no_line(run: Run, fleet: Path) -> None:
    firm(fleet, ("heat_ratio = 1.3", "heat_ratio = 0"))
    done = run("adopt", "firm.toml")
    assert done.returncode == 2
    assert "flag.heat_ratio is 0, a number from 1 to 1e+06 is wanted" in done.stderr


def test_what_is_in_force_is_not_recorded_twice_and_all_are_listed(run: Run, fleet: Path) -> None:
    assert "None was adopted yet: default-" in run("adopt", "--list").stdout
    firm(fleet, ("heat_ratio = 1.3", "heat_ratio = 1.6"))
    first = run("adopt", "firm.toml", "--from", "2026-03-01", "--remark", "as agreed")
    assert "Kept with it: as agreed" in first.stdout
    assert "is in force already; nothing was recorded." in run("adopt", "firm.toml").stdout
    found = json.loads(run("adopt", "--list", "--json").stdout)["policies"]
    assert [(one["in_force_from"], one["remark"]) for one in found] == [("2026-03-01", "as agreed")]
    assert "from 2026-03-01  firm-" in run("adopt", "--list").stdout


def test_a_day_before_the_first_reading_is_told(run: Run, fleet: Path) -> None:
    firm(fleet, ("heat_ratio = 1.3", "heat_ratio = 1.6"))
    done = run("adopt", "firm.toml", "--from", "2020-01-01")
    assert done.returncode == 0
    assert (
        "the first reading is of 2026-01-01, later than 2020-01-01; check the year" in done.stdout
    )


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("adopt", "firm.toml", "--from", "1/10/2026"), "“1/10/2026” is no day; write it like"),
        (("tune", "--missed-cost", "abc", "--visit-cost", "1"), "“abc” is no number; write"),
        (("tune", "--missed-cost", "4,000", "--visit-cost", "1"), "“4,000” is no number; write it"),
        (("tune", "--missed-cost", "nan", "--visit-cost", "1"), "no number above 0 and up to"),
        (("tune", "--most-visits", "-3"), "“-3” is no number above 0"),
        (("explain", "V003", "P003", "top"), "“top” is no slot; write it like 5, main or 23/25"),
        (("explain", "V999", "P003", "5"), "No inspection is called V999."),
        (("explain", "v003", "P003", "5"), "There is V003; names are taken letter for letter."),
        (("explain", "V003", "P004", "5"), "No panel of V003 is called P004."),
        (("explain", "V003", "P003", "77"), "was read at slots 1, 2, 3, 4, 5, 6, 7, 8."),
    ],
)  # fmt: skip
def test_what_cannot_be_is_told_in_plain_words(run: Run, words: tuple[str, ...], told: str) -> None:
    done = run(*words)
    assert done.returncode in (1, 2)
    assert told in " ".join(done.stderr.split())


def test_a_decimal_comma_is_a_number(run: Run, fleet: Path) -> None:
    find(fleet / "fleet.duckdb", rest=True)
    done = run("tune", "--missed-cost", "4000,50", "--visit-cost", "180", "--json")
    assert json.loads(done.stdout)["costs"] == {"missed": 4000.5, "visit": 180.0}


def test_a_visit_dearer_than_a_missed_fault_is_asked_about(run: Run, fleet: Path) -> None:
    find(fleet / "fleet.duckdb", rest=True)
    done = run("tune", "--missed-cost", "100", "--visit-cost", "180")
    assert "is a visit really dearer than a missed fault" in " ".join(done.stdout.split())
    right = run("tune", "--missed-cost", "180", "--visit-cost", "180")
    assert "really dearer" not in right.stdout


def test_the_list_to_examine_is_read_in_as_findings_once_filled_in(run: Run, fleet: Path) -> None:
    find(fleet / "fleet.duckdb", rest=True)
    assert run("tune", "--page", "pages", "--plan", "6").returncode == 0
    with (fleet / "pages" / "examine.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == 6
    filled = [row | {"finding": "nothing found", "found_at": "2026-12-01"} for row in rows]
    with (fleet / "filled.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(filled[0]))
        writer.writeheader()
        writer.writerows(filled)
    done = run("ingest", "filled.csv", "--dry-run")
    assert done.returncode == 0, done.stderr
    assert "6 rows read = 6 kept" in done.stdout


def test_a_past_verdict_takes_slots_as_pages_write_them_and_the_firms_unit(run: Run) -> None:
    plain = run("explain", "V003", "P003", "5").stdout
    assert run("explain", "V003", "P003", "5/7").stdout == plain
    assert "slot main" in run("explain", "V003", "P003", "main").stderr
    kelvins = run("explain", "V003", "P003", "5", "--unit", "degC").stdout
    rise_k = float(kelvins.split("rise:")[1].split()[0])
    rise_degf = float(plain.split("rise:")[1].split()[0])
    assert rise_degf == pytest.approx(1.8 * rise_k, abs=0.15)
    assert "[flag]" not in plain
    assert "  [flag]" in run("explain", "V003", "P003", "5", "--policy").stdout
