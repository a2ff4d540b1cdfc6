"""What a policy is said to turn is what adopting it and screening again really turns."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from pathlib import Path

import pytest

from analytics import history, tuning
from analytics.policy import Policy, as_toml, default_policy
from analytics.screening import screen
from analytics.warehouse import Warehouse, open_store
from tests.cli.fleet import make_store

POLICIES = {
    "loose": {"flag_probability": 0.0005, "flag_heat_ratio": 1.1, "flag_lift_k": 1.0},
    "strict": {"flag_probability": 0.9, "flag_heat_ratio": 9.0, "flag_loaded_probability": 1.0},
    "recalibrated": {"calibration_intercept": 2.0, "calibration_slope": 0.6},
    "worth": {"worth_smallest_ratio": 1.5, "load_gate_share": 0.3},
    "material": {"material_lift_k": 40.0},
}


@pytest.fixture
def store(tmp_path: Path) -> Path:
    return make_store(tmp_path / "fleet.duckdb")


@pytest.mark.parametrize("name", POLICIES)
def test_every_verdict_said_to_turn_turns_and_no_other(store: Path, name: str) -> None:
    policy = default_policy().moved(**POLICIES[name])
    with open_store(store) as warehouse:
        before = _verdicts(warehouse)
        said = tuning.flips(warehouse, policy)
        _adopt(warehouse, policy, store.with_name("new.toml"))
        screen(warehouse)
        after = _verdicts(warehouse)
    turned = Counter((before[key], after[key]) for key in before if before[key] != after[key])
    assert {(one.verdict, one.new_verdict): one.readings for one in said.turns} == turned
    assert said.changed == turned.total() > 0
    flagged = {key for key in before if _is_flag(before[key]) != _is_flag(after[key])}
    assert {one.reading_id for one in said.flips} == flagged
    assert said.sentence.startswith(f"{turned.total():,} past verdicts would change: ")


def test_a_policy_that_is_in_force_turns_nothing(store: Path) -> None:
    with open_store(store, read_only=True) as warehouse:
        said = tuning.flips(warehouse, default_policy())
    assert (said.changed, said.flips) == (0, ())
    assert said.sentence == "No past verdict would change."


def _adopt(warehouse: Warehouse, policy: Policy, path: Path) -> None:
    path.write_text(as_toml(policy), encoding="utf-8")
    history.adopt(warehouse, path, today=dt.date.today())


def _verdicts(warehouse: Warehouse) -> dict[int, str]:
    return dict(warehouse.fetch("select reading_id, verdict from screening.result"))


def _is_flag(verdict: str) -> bool:
    return verdict in ("suspect_connection", "overload_and_connection")
