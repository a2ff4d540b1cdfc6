"""The fit with and without weights: two fits in memory, the store left as it is."""

from __future__ import annotations

import hashlib
import re
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from analytics.policy import default_policy
from analytics.screening import screen
from analytics.warehouse import open_store
from dashboards.diagnostics import collect, gather
from dashboards.diagnostics_records import DiagnosticsRecord, Flagged
from dashboards.diagnostics_weights import check_weights
from dashboards.pages.diagnostics import page
from dashboards.render import render
from tests.cli.fleet import make_store
from tests.dashboards.reader import words_of


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_store(tmp_path_factory.mktemp("store") / "fleet.duckdb")


@pytest.fixture(scope="module")
def record(store: Path) -> DiagnosticsRecord:
    with open_store(store, read_only=True) as warehouse:
        found = collect(warehouse)
    return replace(found, weights=check_weights(store))


def test_the_first_fit_is_the_one_in_force(record: DiagnosticsRecord, store: Path) -> None:
    """The fit without weights, made in memory, is the store's own; so are its flags."""
    with open_store(store, read_only=True) as warehouse:
        flagged = gather(warehouse, "flagged", Flagged)
    without, weighted = record.weights.without, record.weights.weighted
    assert without
    assert weighted
    assert without.groups == record.groups
    assert without.flagged == flagged
    assert weighted.groups == record.groups
    assert record.weights.is_same


def test_weights_move_the_fit_where_cool_devices_are_seldom_clamped(
    store: Path, tmp_path: Path
) -> None:
    chosen = Path(shutil.copy(store, tmp_path / "chosen.duckdb"))
    with open_store(chosen) as warehouse, warehouse.transaction():
        warehouse.execute(
            "update records.reading set current_a = null "
            "where device_degc < 32 and position % 3 > 0"
        )
    check = check_weights(chosen)
    assert check.without
    assert check.weighted
    assert not check.is_same
    shares = [row.clamped_count / row.reading_count for row in check.clamped]
    assert shares[0] < 0.5 < shares[-1] == 1.0
    with open_store(chosen, read_only=True) as warehouse:
        record = replace(collect(warehouse), weights=check)
    words = words_of(render(page(record, "degC"), "diagnostics"))
    assert re.search(r"rise at rating moves most for standard, from 2\d\.\d K to \d\d\.\d K", words)
    assert "Share clamped by warmth over the panel’s floor" in words


def test_checking_weights_leaves_the_store_alone(store: Path) -> None:
    before = hashlib.sha256(store.read_bytes()).hexdigest()
    check_weights(store)
    assert hashlib.sha256(store.read_bytes()).hexdigest() == before


def test_a_fit_that_does_not_settle_is_told(store: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from analytics.errors import NotConvergedError

    def fail(*_: object) -> None:
        raise NotConvergedError("The baseline did not settle.")

    monkeypatch.setattr("dashboards.diagnostics_weights.fit", fail)
    check = check_weights(store)
    assert check.without is None
    words = words_of(render(page(DiagnosticsRecord(weights=check), "degF"), "diagnostics"))
    assert "The baseline did not settle." in words


def test_both_fits_are_judged_by_the_policy_in_use(store: Path, tmp_path: Path) -> None:
    """With a line that no reading reaches nothing is flagged, in the store and in the check."""
    strict = default_policy().moved(flag_probability=1.0, flag_loaded_probability=1.0)
    own = Path(shutil.copy(store, tmp_path / "own.duckdb"))
    with open_store(own) as warehouse:
        assert gather(warehouse, "flagged", Flagged)
        screen(warehouse, strict)
    check = check_weights(own)
    assert check.policy_version == strict.version
    assert check.without
    assert check.without.flagged == ()
