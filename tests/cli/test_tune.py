"""Tuning, adopting and explaining as a person would, on the small fleet with findings put in."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from analytics.cli.tune import STRATA
from analytics.policy import default_policy, default_text, read_policy
from analytics.tuning.cells import STRATA as KNOWN
from analytics.warehouse import open_store
from tests.cli.conftest import Run
from tests.cli.fleet import make_store

COSTS = ("--missed-cost", "4000", "--visit-cost", "180")


def find(store: Path, *, rest: bool) -> None:
    """Put findings in: the hot device is loose; with `rest`, every third of the others is sound.

    One more names a visit that was never read in, and one contradicts an older version of itself.
    """
    condition = "reading_id % 3 = 0" if rest else "false"
    with open_store(store) as warehouse, warehouse.transaction():
        warehouse.execute(
            "insert into records.finding by name select reading_id as finding_id, 1 as file_id, "
            "reading_id as line, reading_id as content_hash, true as is_current, inspection_id, "
            "panel_id, position, inspected_at + interval 5 day as found_at, "
            "case when inspection_id = 'V003' and position = 5 then 'loose_connection' else "
            "'nothing_found' end as finding, true as examined_by_licensed from records.reading "
            f"where {condition} or inspection_id = 'V003' and position = 5"
        )
        for number, current, visit, found in (
            (900, True, "V999", "device_fault"),
            (901, False, "V003", "nothing_found"),
        ):
            warehouse.execute(
                "insert into records.finding by name select $number as finding_id, 1 as file_id, "
                "$number as line, $number as content_hash, $current as is_current, $visit as "
                "inspection_id, 'P003' as panel_id, 5 as position, $found as finding, "
                "case when not $current then timestamp '2026-04-09 10:00:00' end as found_at",
                {"number": number, "current": current, "visit": visit, "found": found},
            )


def test_the_command_knows_the_strata() -> None:
    assert STRATA == KNOWN


def test_before_a_screening_it_says_so(run: Run, tmp_path: Path) -> None:
    make_store(tmp_path / "new.duckdb", is_screened=False)
    for words in (("tune",), ("tune", "--plan", "3"), ("tune", "--findings")):
        done = run(*words, store="new.duckdb")
        assert done.returncode == 1
        assert "Nothing has been screened yet." in done.stderr


def test_without_findings_it_says_what_is_needed(run: Run) -> None:
    done = run("tune")
    assert done.returncode == 1
    assert "No finding could be set against a reading" in done.stderr


def test_without_costs_nothing_is_recommended(run: Run, fleet: Path) -> None:
    find(fleet / "fleet.duckdb", rest=True)
    done = run("tune")
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("No policy is recommended without the firm's own costs")
    assert all(len(line) <= 140 for line in done.stdout.splitlines())
    assert "in force" in done.stdout
    assert "Set aside: 1 finding of a reading that was never read in." in " ".join(
        done.stdout.split()
    )
    assert "1 finding is contradicted by another" in done.stdout
    assert "qualified persons only" in done.stdout


def test_nobody_knows_what_is_missed_where_no_other_was_examined(run: Run, fleet: Path) -> None:
    find(fleet / "fleet.duckdb", rest=False)
    done = run("tune", *COSTS)
    assert done.returncode == 0, done.stderr
    text = " ".join(done.stdout.split())
    assert text.startswith("No policy can be recommended: none of the devices")
    assert "between two ends, from all of them faulty to none" in text
    assert run("tune", *COSTS, "--out", "new.toml").returncode == 1
    assert not (fleet / "new.toml").exists()


def test_json_holds_the_candidates(run: Run, fleet: Path) -> None:
    find(fleet / "fleet.duckdb", rest=True)
    found = json.loads(run("tune", *COSTS, "--by", "office", "--json").stdout)
    marked = [one for one in found["candidates"] if one["is_in_force"]]
    assert len(marked) == 1
    assert marked[0]["probability"] == default_policy().flag_probability
    assert found["in_force"]["sensitivity"]["low"] <= found["in_force"]["sensitivity"]["high"]
    assert {one["subject"] for one in found["margins"]} == set(STRATA)


@pytest.mark.parametrize("words", [("--missed-cost", "4000"), ("--plan", "3", "--findings")])
def test_half_a_question_is_refused(run: Run, words: tuple[str, ...]) -> None:
    assert run("tune", *words).returncode == 2


def test_findings_that_do_not_count_are_listed(run: Run, fleet: Path) -> None:
    find(fleet / "fleet.duckdb", rest=False)
    text = run("tune", "--findings").stdout
    assert (
        "V999, panel P003, slot 5 (sheet.csv), device fault without a date: of a reading that was"
        in text
    )
    assert "slot 5: loose connection of 2026-04-09 stands, nothing found of 2026-04-09" in text
    assert "does not: a later row of the same time found corrects the former" in text


def test_a_plan_draws_what_was_neither_flagged_nor_examined(run: Run, fleet: Path) -> None:
    find(fleet / "fleet.duckdb", rest=True)
    first, again = (run("tune", "--plan", "12", "--json").stdout for _ in range(2))
    assert first == again
    draws = json.loads(first)["draws"]
    assert len(draws) == 12
    with open_store(fleet / "fleet.duckdb", read_only=True) as warehouse:
        seen = dict(warehouse.fetch("select finding_id, finding from records.finding"))
        verdicts = dict(warehouse.fetch("select reading_id, verdict from screening.result"))
    for one in draws:
        assert one["reading_id"] not in seen
        assert "connection" not in verdicts[one["reading_id"]]
        assert 0 < one["drawn_share"] <= 1


def test_what_another_policy_turns_over(run: Run, fleet: Path) -> None:
    find(fleet / "fleet.duckdb", rest=True)
    strict = default_text().replace("loaded_probability = 0.06", "loaded_probability = 1.0")
    (fleet / "strict.toml").write_text(
        strict.replace("heat_ratio = 1.3", "heat_ratio = 9.0"), encoding="utf-8"
    )
    text = run("tune", "--against", "strict.toml").stdout
    assert "0 newly flagged; 0 of them examined, 0 faulty." in text
    assert "1 no longer flagged; 1 of them examined, 1 faulty." in text
    assert (
        "V003, panel P003, slot 5, 2026-04-04: overload, suspected fault becomes overload" in text
    )
    assert "loose connection" in text


def test_adopted_screened_and_explained(run: Run, fleet: Path) -> None:
    assert run("adopt", "--write", "firm.toml").returncode == 0
    assert (fleet / "firm.toml").read_text(encoding="utf-8") == default_text()
    assert run("adopt", "--write", "firm.toml").returncode == 2
    before = run("explain", "V003", "P003", "5").stdout
    text = default_text().replace("loaded_probability = 0.06", "loaded_probability = 1.0")
    (fleet / "firm.toml").write_text(text.replace("heat_ratio = 1.3", "heat_ratio = 9.0"))
    done = run("adopt", "firm.toml", "--remark", "tried")
    assert "flag.heat_ratio: 1.3 becomes 9" in done.stdout
    assert f"policy {read_policy(fleet / 'firm.toml').version}" in run("screen").stdout
    now = run("explain", "V003", "P003", "5").stdout
    assert "Overload: Carries 90 % of rating" in now
    assert "Before it:" in now
    assert run("explain", "V003", "P003", "5", "--screening", "1").stdout == before
    assert run("explain", "V999", "P003", "5").returncode == 1


def test_a_wrong_policy_is_told_by_line(run: Run, fleet: Path) -> None:
    (fleet / "firm.toml").write_text("[flag]\nprobability = 2\n", encoding="utf-8")
    done = run("adopt", "firm.toml")
    assert done.returncode == 2
    assert "line 2: flag.probability is 2, a number from 0 to 1 is wanted" in done.stderr


def test_a_policy_not_screened_with_is_told_by_all_that_speak_of_verdicts(
    run: Run, fleet: Path
) -> None:
    find(fleet / "fleet.duckdb", rest=True)
    text = default_text().replace("heat_ratio = 1.3", "heat_ratio = 1.6")
    (fleet / "firm.toml").write_text(text, encoding="utf-8")
    version = read_policy(fleet / "firm.toml").version
    told = f"The policy {version}, in force from "
    asked = (("tune",), ("recalibrate",), ("quarter", "2026Q2"), ("tune", "--plan", "3"))
    opinion = ("opinion", "--inspection", "V003", "--panel", "P003", "--position", "5")
    assert all(told not in run(*words).stdout for words in asked)
    assert "screened with yet" not in run(*opinion).stdout
    assert run("adopt", "firm.toml").returncode == 0
    for words in asked:
        done = run(*words)
        assert done.returncode == 0, done.stderr
        head = " ".join(done.stdout.split())
        assert head.startswith(told), words
        assert "has not been screened with yet: what is told here is of default-" in head
    said = " ".join(run(*opinion).stdout.split())
    assert f"The policy {version} judges here and has not been screened with yet" in said
    noticed = json.loads(run("tune", "--json").stdout)["unscreened_policy"]
    assert noticed["data"]["in_force"] == version
    assert run("screen").returncode == 0
    assert all(told not in run(*words).stdout for words in asked)


def test_nothing_is_written_over_a_policy_not_screened_with_yet(run: Run, fleet: Path) -> None:
    """A policy built on the screened one would undo what was adopted since."""
    find(fleet / "fleet.duckdb", rest=True)
    text = default_text().replace("heat_ratio = 1.3", "heat_ratio = 1.6")
    (fleet / "firm.toml").write_text(text, encoding="utf-8")
    assert run("adopt", "firm.toml").returncode == 0
    done = run("tune", *COSTS, "--out", "new.toml")
    assert done.returncode == 2
    assert "would be built on default-" in done.stderr
    assert "Run loadrise screen first" in done.stderr
    assert not (fleet / "new.toml").exists()


def test_the_surer_policy_is_only_written(run: Run) -> None:
    done = run("tune", *COSTS, "--surer")
    assert done.returncode == 2
    assert "--surer does nothing without --out." in done.stderr


def test_a_file_that_is_there_is_not_written_over_unasked(run: Run, fleet: Path) -> None:
    find(fleet / "fleet.duckdb", rest=True)
    (fleet / "mine.toml").write_text("mine", encoding="utf-8")
    for command in ("tune", "recalibrate"):
        done = run(command, "--out", "mine.toml")
        assert done.returncode == 2
        assert "mine.toml is there already." in done.stderr
        assert "add --overwrite" in done.stderr
    assert (fleet / "mine.toml").read_text(encoding="utf-8") == "mine"


def test_more_devices_than_are_left_are_all_drawn_and_said_to_be(run: Run, fleet: Path) -> None:
    find(fleet / "fleet.duckdb", rest=True)
    text = run("tune", "--plan", "100000").stdout
    assert "all that are left, fewer than the 100,000 asked for" in text
    assert "drawn at random" not in text
