"""Measures are made anew where a reading, a mark or a setting changed, and only there."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from analytics.baseline.measures import prepare_measures, renew_measures
from analytics.settings import BaselineSettings
from analytics.warehouse import open_store
from tests.cli.fleet import make_store

SETTINGS = BaselineSettings()
CHANGES = {
    "a cell": "update records.reading set device_degc = device_degc + 1 where reading_id = 3",
    "a reading set aside": "update records.reading set is_current = false where reading_id = 3",
    "a mark": "insert into records.recheck by name select * replace ('other' as code) "
    "from (select * from records.recheck union all by name select 3 as reading_id, "
    "'a' as code, 'b' as sentence) limit 1",
}


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_store(tmp_path_factory.mktemp("measures") / "fleet.duckdb")


@pytest.fixture
def store(made: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(made, tmp_path / "copy.duckdb"))


def test_nothing_changed(store: Path) -> None:
    with open_store(store) as warehouse:
        assert not renew_measures(warehouse, SETTINGS)


@pytest.mark.parametrize("sql", CHANGES.values(), ids=CHANGES)
def test_what_is_stored_changed(store: Path, sql: str) -> None:
    with open_store(store) as warehouse:
        warehouse.execute(sql)
        assert renew_measures(warehouse, SETTINGS)
        anew = warehouse.fetch("from normalise.measure order by reading_id")
        prepare_measures(warehouse, SETTINGS)
        assert warehouse.fetch("from normalise.measure order by reading_id") == anew
        assert renew_measures(warehouse, SETTINGS), "whoever makes them otherwise leaves no basis"


def test_a_setting_changed(store: Path) -> None:
    other = replace(SETTINGS, cool_share=SETTINGS.cool_share / 2)
    with open_store(store) as warehouse:
        assert renew_measures(warehouse, other)
        assert not renew_measures(warehouse, other)
        assert renew_measures(warehouse, SETTINGS)
