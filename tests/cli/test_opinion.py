"""`loadrise opinion`: what it prints, what it refuses, and that it leaves the store alone."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

import pytest

from analytics.notices import CAUTIONS
from analytics.warehouse import open_store
from tests.cli.conftest import Run

GOOD = {
    **{"--class": "standard", "--rating": "20A", "--ambient": "64F", "--device": "101 °F"},
    **{"--current": "9.2 A", "--minutes": "30 min"},
}
KEYS = {
    *("reading", "unit", "verdict", "verdict_words", "reason", "next_step", "rise_k"),
    *("termination_rise_k", "conductor_rise_k", "load_fraction", "expected_rise_k", "lower_k"),
    *("upper_k", "lift_k", "standard_residual", "place", "place_sentence", "picture"),
    *("heat_ratio", "heat_ratio_low", "heat_ratio_high", "smallest_ratio_seen", "probability"),
    *("local_fdr", "score", "q_value", "flip_chance", "settled_by", "heat_pattern"),
    *("panel_shift_k", "rank", "projected", "measure_next", "cases", "case_sentence", "ladders"),
    *("learned_from", "notices", "cautions", "paragraph", "policy_version", "baseline_version"),
    "baseline_fitted_at",
}
REFUSED = [
    ("--rating", "twenty", "“twenty” is no number"),
    ("--rating", "17", "no breaker is made for 17 A"),
    ("--current", "9.2.1", "is no number"),
    ("--current", "nan", "is no number"),
    ("--current", "-3", "cannot be negative"),
    ("--current", "92", "a decimal point may be lost"),
    ("--ambient", "109F", "warmer than the device"),
    ("--ambient", "64", "has no unit: write 64F or 64C"),
    ("--ambient", "150F", "is no air temperature"),
    ("--device", "400F", "hotter than a device in service can be"),
    ("--device", "warm", "is no temperature"),
    ("--termination", "400F", "hotter than a device in service can be"),
    ("--conductor", "56F", "warmer than the wire"),
    ("--rating", "0", "0 A is no rating: type the number on its handle"),
    ("--floor", "-60C", "colder than any panel"),
    ("--floor", "300F", "are warmer than this one (101 °F)"),
    ("--floor", "50F", "are colder than the air (64 °F)"),
    ("--floor", "cold", "is no temperature"),
    ("--beside", "400F", "hotter than a device in service can be"),
    ("--minutes", "-5", "cannot be negative"),
    ("--minutes", "5000", "more than two days"),
    ("--poles", "4", "a breaker has 1, 2 or 3"),
    ("--class", "toaster", "is no device class"),
]


def test_a_breaker_without_load_is_asked_for_its_loads_unless_it_is_warm(run: Run) -> None:
    """A surface 10 K over the air or more is judged: without current it has no heat of its own."""
    cool = run(*words(**{"--current": "0 A", "--device": "75F"}))
    assert cool.returncode == 2
    assert "without load no connection shows its heat" in cool.stderr
    hot = run(*words(**{"--current": "0 A", "--device": "150F"}))
    assert hot.stdout.startswith("Suspect connection")
    assert "usual loads" not in hot.stdout.split("\n\n")[0]


def test_a_face_as_cool_as_the_air_is_judged(run: Run) -> None:
    """Two readings of a camera differ by 4 K at most: data-sheet classes, ±2 K each."""
    done = run(*words(**{"--ambient": "68F", "--device": "66F"}))
    assert done.returncode == 0
    assert "as cool as the air" in " ".join(done.stdout.split())


def words(**changed: str) -> list[str]:
    options = {**GOOD, **changed}
    return ["opinion", *(word for pair in options.items() for word in pair)]


@pytest.mark.parametrize(("option", "value", "sentence"), REFUSED)
def test_what_cannot_be_is_refused_in_one_sentence(
    option: str, value: str, sentence: str, run: Run
) -> None:
    done = run(*words(**{option: value}))
    assert done.returncode == 2
    assert done.stdout == ""
    first, *more = done.stderr.splitlines()
    assert first.startswith(f"loadrise: {option}: ")
    assert sentence in first
    assert more == []


@pytest.mark.parametrize(
    ("options", "sentence"),
    [
        (["--class", "afci"], "--rating, --ambient, --device: needed"),
        (["--inspection", "V003"], "--panel, --position: needed"),
        (
            ["--inspection", "V003", "--panel", "P003", "--position", "5", "--rating", "20"],
            "--rating",
        ),
    ],
)
def test_half_a_question_is_refused(options: list[str], sentence: str, run: Run) -> None:
    done = run("opinion", *options)
    assert (done.returncode, done.stdout) == (2, "")
    assert sentence in done.stderr


def test_a_reading_that_is_not_there(run: Run) -> None:
    done = run("opinion", "--inspection", "V003", "--panel", "P003", "--position", "77")
    assert (done.returncode, done.stdout) == (1, "")
    assert "no reading of inspection V003" in done.stderr


def test_json_has_all_of_it(run: Run) -> None:
    done = run(*words(), "--json")
    found = json.loads(done.stdout)
    assert set(found) == KEYS
    assert found["reading"]["device_degc"] == pytest.approx((101 - 32) / 1.8)
    assert found["rise_k"] == pytest.approx(37 / 1.8)
    assert found["lower_k"] < found["expected_rise_k"] < found["upper_k"]
    assert [one["load_fraction"] for one in found["projected"]] == [0.8, 1.0]
    assert all(one["low_k"] < one["rise_k"] < one["high_k"] for one in found["projected"])
    assert found["rank"]["comparable_count"] > 10
    assert (found["rank"]["load_low"], found["rank"]["load_high"]) == (0.4, 0.6)
    assert tuple(found["cautions"]) == CAUTIONS
    shapes = {frozenset(one) for one in found["measure_next"]}
    assert len(shapes) == 1
    assert {"load", "floor", "termination"} <= {one["code"] for one in found["measure_next"]}


def test_every_part_is_printed(run: Run) -> None:
    done = run(*words())
    assert done.returncode == 0, done.stderr
    for part in (
        *("37 °F over the air, 46 % of rating", "95 % of healthy ones from", "Rank", "Heat"),
        *("At 80 %", "At 100 %", "What would settle it", "Most alike", "Published ladders"),
        *("For the report", "Cautions", "urgent help", "comparable readings"),
    ):
        assert part in done.stdout
    scale = next(line for line in done.stdout.splitlines() if "X" in line and "[" in line)
    assert [sign for sign in scale if sign in "[|X]"] == ["[", "|", "]", "X"]


def test_nothing_is_called_safe(run: Run) -> None:
    for device in ("70F", "85F", "101F", "160F"):
        text = run(*words(**{"--device": device})).stdout.lower().split("cautions")[0]
        assert " safe" not in text
        assert " pass " not in text


def test_one_speaks_the_unit_that_was_typed(run: Run) -> None:
    in_celsius = run(*words(**{"--ambient": "18C", "--device": "38C"})).stdout
    assert "20 K over the air" in in_celsius
    assert "°F" not in in_celsius
    mixed = json.loads(run(*words(**{"--ambient": "64.4F", "--device": "38C"}), "--json").stdout)
    assert mixed["rise_k"] == pytest.approx(20)


def test_classes_as_people_write_them(run: Run) -> None:
    for word in ("Arc-fault", "AFCI combo", "dual function"):
        done = run(*words(**{"--class": word}), "--json")
        assert json.loads(done.stdout)["reading"]["device_class"] in ("afci", "dual_function")


def test_a_stored_one_is_the_screenings(run: Run) -> None:
    done = run("opinion", "--inspection", "V003", "--panel", "P003", "--position", "5", "--json")
    found = json.loads(done.stdout)
    query = (
        "select verdict, reason, rise_k, expected_rise_k, heat_ratio, hotter_count "
        "from screening.result where inspection_id = 'V003' and position = 5"
    )
    row = json.loads(run("sql", query, "--format", "json").stdout)[0]
    assert found["verdict"] == row["verdict"] == "overload_and_connection"
    assert found["reason"] == row["reason"]
    assert found["rank"]["hotter_count"] == row["hotter_count"]
    for name in ("rise_k", "expected_rise_k", "heat_ratio"):
        assert found[name] == pytest.approx(row[name], rel=1e-9)


def test_the_store_is_only_read(run: Run, fleet: Path) -> None:
    store = fleet / "fleet.duckdb"
    before = hashlib.sha256(store.read_bytes()).hexdigest()
    store.chmod(0o444)
    assert run(*words()).returncode == 0
    assert hashlib.sha256(store.read_bytes()).hexdigest() == before


def test_a_store_that_is_being_written_is_told(run: Run, fleet: Path) -> None:
    with open_store(fleet / "fleet.duckdb"):
        done = run(*words())
    assert (done.returncode, done.stdout) == (1, "")
    assert "is in use by another program" in done.stderr


def test_a_stored_one_in_kelvins(run: Run) -> None:
    stored = ("--inspection", "V003", "--panel", "P003", "--position", "5")
    done = run("opinion", *stored, "--unit", "degC")
    assert " K over the air" in done.stdout
    assert "°F" not in done.stdout


def test_before_the_first_fit_it_says_what_to_do(run: Run) -> None:
    done = run("ingest", "readings.csv", store="new.duckdb")
    assert done.returncode == 0, done.stderr
    done = run(*words(), store="new.duckdb")
    assert done.returncode == 1
    assert "Run loadrise fit first." in done.stderr
