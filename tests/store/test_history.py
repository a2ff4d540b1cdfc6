"""Policies and verdicts kept for good: adopted by date, appended when changed, told again."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest

from analytics import history
from analytics.baseline import fit
from analytics.errors import NotEnoughDataError, UsageError
from analytics.policy import (
    NEVER,
    STANDARDS,
    as_toml,
    default_policy,
    default_text,
    parse,
    restore,
    with_standards,
)
from analytics.screening import screen
from analytics.warehouse import Warehouse, open_store
from tests.cli.fleet import VISITS, fill, make_store

DAY = dt.date(2026, 10, 1)
HOT = ("V003", "P003", 5)
"""The one hot device of the small fleet."""


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_store(tmp_path_factory.mktemp("history") / "fleet.duckdb")


@pytest.fixture
def store(made: Path, tmp_path: Path) -> Iterator[Warehouse]:
    path = tmp_path / "fleet.duckdb"
    path.write_bytes(made.read_bytes())
    with open_store(path) as warehouse:
        yield warehouse


def policy_file(folder: Path, name: str = "firm", **lines: float) -> Path:
    """Write a policy of the firm's own: the default with some lines moved."""
    path = folder / f"{name}.toml"
    path.write_text(as_toml(default_policy().moved(**lines)), encoding="utf-8")
    return path


def test_what_is_wrong_is_told_by_line() -> None:
    text = default_text().replace("heat_ratio = 1.3", "heat_ratoi = 1.3")
    text = text.replace("any_share = 1.0 ", 'any_share = "1" ').replace(" 0.3 ", " 1.3 ")
    line = {key: n for n, row in enumerate(text.splitlines(), 1) for key in row.split()[:1]}
    with pytest.raises(UsageError) as caught:
        parse(text, "firm")
    words = caught.value.message
    assert f"line {line['heat_ratoi']}: flag.heat_ratoi is no line of a policy" in words
    assert f"line {line['any_share']}: load.any_share is '1', which is no number" in words
    assert "flag.probability is 1.3, a number from 0 to 1 is wanted" in words
    assert "flag.heat_ratio is missing" in words
    with pytest.raises(UsageError, match="line 2"):
        parse("[flag]\nprobability 0.3\n", "firm")


def test_a_policy_as_text_reads_back_the_same() -> None:
    moved = default_policy().moved(flag_lift_k=2.75)
    assert parse(as_toml(moved), "default") == moved
    assert moved.version != default_policy().version
    older = moved.moved(**dict.fromkeys(STANDARDS, NEVER))
    assert restore("[flag]\nlift_k = 2.75\n[older]\nkey = 1\n", older.version) == older


def test_a_policy_kept_before_the_standards_judges_as_it_did(
    store: Warehouse, tmp_path: Path
) -> None:
    """Its version and its past verdicts stand; what is judged from now on knows the standards."""
    older = default_policy().moved(**dict.fromkeys(STANDARDS, NEVER))
    text = "\n".join(
        line
        for line in as_toml(older).splitlines()
        if not any(line.startswith(key.partition("_")[2]) for key in STANDARDS)
    )
    restored = restore(text, older.version)
    assert restored == older
    assert restored.moved().version == older.version
    assert parse(text, "default") == default_policy() == with_standards(restored)
    screen(store, older)
    rows = store.fetch("select inspection_id, panel_id, position from records.reading")
    assert all(history.explain(store, *row).is_reproduced for row in rows)
    store.execute("update records.policy set is_adopted = true, in_force_from = date '2020-01-01'")
    assert history.policy_in_force(store, DAY) == default_policy()


@pytest.mark.parametrize("line", ["termination_rise_k = 5.0", "wire_degc = 40.0"])
def test_a_standards_line_cannot_be_drawn_through_healthy_breakers(line: str) -> None:
    with pytest.raises(UsageError, match=line.partition(" ")[0]):
        parse(f"[flag]\n{line}\n", "firm")


def test_adopting_puts_in_force_from_its_day(store: Warehouse, tmp_path: Path) -> None:
    assert history.policy_in_force(store, DAY) == default_policy()
    path = policy_file(tmp_path, flag_probability=0.4)
    adopted = history.adopt(store, path, today=DAY, in_force_from=DAY + dt.timedelta(days=9))
    assert adopted.moved == (("flag_probability", 0.3, 0.4),)
    assert history.policy_in_force(store, DAY) == default_policy()
    assert history.policy_in_force(store, DAY + dt.timedelta(days=9)).flag_probability == 0.4
    with pytest.raises(UsageError, match="in force before"):
        history.adopt(store, path, today=DAY)


def test_a_day_far_ahead_is_refused(store: Warehouse, tmp_path: Path) -> None:
    """It would shut out every policy until then."""
    path, before = policy_file(tmp_path, flag_lift_k=2.5), store.fetch("from records.policy")
    far = DAY + history.policies.MOST_AHEAD + dt.timedelta(days=1)
    with pytest.raises(UsageError, match="more than 366 days ahead"):
        history.adopt(store, path, today=DAY, in_force_from=far)
    assert store.fetch("from records.policy") == before


def test_a_wrong_file_changes_nothing(store: Warehouse, tmp_path: Path) -> None:
    path = tmp_path / "firm.toml"
    path.write_text(default_text().replace("= 0.3", "= -0.3"), encoding="utf-8")
    before = store.fetch("from records.policy")
    with pytest.raises(UsageError, match=r"line 5: flag\.probability is -0\.3"):
        history.adopt(store, path, today=DAY)
    assert store.fetch("from records.policy") == before


def test_screening_goes_by_the_policy_in_force(store: Warehouse, tmp_path: Path) -> None:
    history.adopt(store, policy_file(tmp_path, flag_heat_ratio=50.0), today=DAY)
    assert screen(store, today=DAY - dt.timedelta(days=1)).policy_version.startswith("default")
    summary = screen(store, today=DAY)
    assert summary.policy_version.startswith("firm-")
    assert summary.verdict_counts.get("normal", 0) == 0
    assert screen(store, default_policy(), today=DAY).policy_version.startswith("default")


def test_history_grows_only_where_words_change(store: Warehouse, tmp_path: Path) -> None:
    devices = VISITS * 8
    count = "select count(*) from records.verdict"
    assert store.fetch(count) == [(devices,)]
    assert screen(store).changed_count == 0
    assert store.fetch(count) == [(devices,)]
    later = parse(policy_file(tmp_path, load_continuous_share=0.9).read_text(), "firm")
    moved = "load_fraction > 0.8 and load_fraction <= 0.9 and verdict <> 'recheck'"
    least = store.fetch(f"select count(*) from screening.result where {moved}")[0][0]
    changed = screen(store, later).changed_count
    assert 1 <= least <= changed < devices / 2
    assert store.fetch(count) == [(devices + changed,)]
    kept = store.fetch("select changed_count, reading_count from records.screening order by all")
    assert kept == sorted([(devices, devices), (0, devices), (changed, devices)])


def test_a_past_verdict_is_told_again_byte_for_byte(store: Warehouse, tmp_path: Path) -> None:
    first = history.explain(store, *HOT).lines()
    lines = {"flag_heat_ratio": 50.0, "flag_loaded_probability": 1.0}
    screen(store, parse(policy_file(tmp_path, **lines).read_text(), "firm"))
    now = history.explain(store, *HOT)
    assert now.given.verdict == "overload"
    assert [one.verdict for one in now.others] == ["overload_and_connection"]
    assert history.explain(store, *HOT, screening_id=1).lines() == first
    assert any("flag" in line for line in now.lines())
    with pytest.raises(UsageError, match=r"no screening 3; the last one is 2"):
        history.explain(store, *HOT, screening_id=3)


def test_every_kept_verdict_comes_out_again(store: Warehouse, tmp_path: Path) -> None:
    strict = parse(policy_file(tmp_path, flag_heat_ratio=2.0, flag_load_share=0.5).read_text(), "f")
    screen(store, strict)
    rows = store.fetch("select inspection_id, panel_id, position from records.reading")
    found = [history.explain(store, *row) for row in rows]
    assert len(found) == VISITS * 8
    assert all(one.is_reproduced for one in found)
    shown = store.fetch("select verdict, reason, next_step from screening.result order by all")
    told = [(one.given.verdict, one.given.reason, one.given.next_step) for one in found]
    assert sorted(told) == shown


def test_below_the_load_line_nothing_is_judged(store: Warehouse) -> None:
    screen(store, default_policy().moved(flag_load_share=0.5))
    rows = store.fetch(
        "select distinct verdict from screening.result where load_fraction < 0.5 order by 1"
    )
    assert set(rows) <= {("cannot_judge",), ("recheck",)}


def test_what_was_never_judged_is_told(store: Warehouse) -> None:
    with pytest.raises(NotEnoughDataError, match="no verdict of V999"):
        history.explain(store, "V999", "P003", 5)


def test_a_number_is_not_given_twice() -> None:
    with open_store() as warehouse:
        fill(warehouse)
        fit(warehouse)
        screen(warehouse)
        last = warehouse.row("staging.next_id")[1]
        warehouse.execute("delete from records.reading where reading_id > 3")
        assert warehouse.row("staging.next_id")[1] == last
