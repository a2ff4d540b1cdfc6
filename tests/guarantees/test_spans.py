"""A fleet judged in spans, its rows streaming, gets the very verdicts of one judged in one go."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from analytics import querybook, screening
from analytics.baseline import take_up
from analytics.judging import CHAIN, lay_borderline, lay_verdicts
from analytics.policy import default_policy
from analytics.warehouse import Warehouse, open_store
from tests.cli.fleet import make_store

Row = tuple[Any, ...]


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_store(tmp_path_factory.mktemp("spans") / "fleet.duckdb")


def _judged(warehouse: Warehouse) -> list[Row]:
    return warehouse.fetch("from screening.result order by reading_id")


def test_spans_change_nothing(store: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with open_store(store) as warehouse:
        whole = _judged(warehouse)
        monkeypatch.setattr(screening, "AT_ONCE", len(whole) // 7)
        summary = screening.screen(warehouse)
        assert warehouse.fetch("select count(distinct visit_id) from judging.laid")[0][0] < 24
        assert _judged(warehouse) == whole
    assert summary.changed_count == 0


def test_streaming_is_the_same_as_step_by_step(store: Path) -> None:
    policy = default_policy()
    with open_store(store) as warehouse:
        streamed = _judged(warehouse)
        version, parameters = take_up(warehouse)
        screening.judge_by(warehouse, parameters, policy)
        lay_verdicts(warehouse, parameters, policy)
        lay_borderline(warehouse, policy)
        versions = {"policy_version": policy.version, "baseline_version": version}
        warehouse.build("screening.result", **versions)
        assert _judged(warehouse) == streamed


def test_nothing_of_the_chain_is_read_as_a_table() -> None:
    sql = querybook.inlined("screening.result", CHAIN)
    assert [table for table in CHAIN if table in sql] == []
    assert "judging.evidence" in sql
