"""Recalibration: the line that findings draw, the policy that holds it, and what judges by it."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from analytics.errors import UsageError
from analytics.history import adopt, explain
from analytics.policy import Policy, as_toml, default_policy, default_text, parse
from analytics.screening import screen
from analytics.tuning import recalibrate, recalibration
from analytics.tuning.examined import Examined
from analytics.tuning.recalibrate import _fitted, _moved
from analytics.tuning.recalibration import fit_line, intervals, scores
from analytics.warehouse import Warehouse, open_store
from tests.cli.fleet import make_store

CALIBRATED = default_policy().moved(calibration_intercept=-0.7, calibration_slope=0.6)


def planted(seed: int, intercept: float, slope: float, count: int = 4000) -> Examined:
    """Return examined readings: faults follow the line, 70 % of the flagged and 20 % of the rest.

    Weights are the true inverse shares, so that only the fit is tried.
    """
    rng = np.random.default_rng(seed)
    logit = np.clip(rng.normal(-2.0, 2.5, count), -7.0, 7.0)
    fault = rng.random(count) < 1 / (1 + np.exp(-intercept - slope * logit))
    flagged = logit > 0
    share = np.where(flagged, 0.7, 0.2)
    seen = rng.random(count) < share
    panel = rng.integers(0, 400, count)[seen]
    names, places = np.unique(panel, return_inverse=True)
    return Examined(
        logit[seen],
        fault[seen],
        flagged[seen],
        1 / share[seen],
        places.astype(np.int64),
        tuple(f"p{one}" for one in names.tolist()),
    )


def test_a_planted_line_is_recovered(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(recalibration, "DRAWS", 100)
    held, found = [0, 0], []
    for seed in range(20):
        both = intervals(planted(seed, -0.5, 0.6))
        found.append([one.value for one in both])
        for i, (one, truth) in enumerate(zip(both, (-0.5, 0.6), strict=True)):
            held[i] += one.low <= truth <= one.high
    assert np.mean(found, axis=0) == pytest.approx([-0.5, 0.6], abs=0.05)
    # 19 of 20 are wanted; with 100 draws each, fewer than 16 happen once in 400 by chance.
    assert min(held) >= 16


def test_scores_across_panels_gain_where_chances_are_off_and_only_there() -> None:
    off, right = scores(planted(1, -0.8, 0.5)), scores(planted(1, 0.0, 1.0))
    assert off.log_gain.low > 0
    assert off.log_gain.value == pytest.approx(off.log_before - off.log_after)
    assert off.brier_gain.value == pytest.approx(off.brier_before - off.brier_after)
    assert right.log_gain.low <= 0


def test_few_findings_are_refused() -> None:
    many = planted(2, -0.8, 0.5)
    few = replace(
        many, **{key: getattr(many, key)[:60] for key in ("logit", "is_fault", "is_flagged")}
    )
    assert _fitted(few) is None
    assert _fitted(many) is not None


def test_what_is_wholly_apart_is_not_fitted() -> None:
    apart = planted(3, 0.0, 1.0)
    assert _fitted(replace(apart, is_fault=apart.logit > 0)) is None
    few = replace(apart, weight=np.full_like(apart.weight, 1.0), is_fault=apart.is_fault & False)
    intercept, slope = fit_line(few)
    assert math.isfinite(intercept + slope)


def test_chances_that_rank_nothing_are_no_line_of_a_policy() -> None:
    assert _fitted(planted(4, -1.5, 0.0)) is None


def test_a_policy_without_calibration_is_what_it_was() -> None:
    """Neutral lines leave the version as it was before there were any: sha256 of the others."""
    bare = default_text().partition("[calibration]")[0]
    assert parse(bare, "default") == default_policy()
    assert parse(as_toml(CALIBRATED), "default") == CALIBRATED
    assert CALIBRATED.version != default_policy().version
    assert default_policy().recalibrated(0.123) == default_policy().stated(0.123) == 0.123


def test_wrong_lines_are_told_with_their_number() -> None:
    text = default_text().replace("slope = 1.0 ", "slope = 0.0 ").replace(
        "intercept = 0.0 ", 'intercept = "x" '
    )  # fmt: skip
    number = next(i for i, line in enumerate(text.splitlines(), 1) if line.startswith("slope"))
    with pytest.raises(UsageError) as trouble:
        parse(text, "firm")
    assert f"line {number}: calibration.slope is 0.0, a number from 0.1 to 10" in str(trouble.value)
    assert f"line {number - 1}: calibration.intercept is 'x'" in str(trouble.value)
    assert parse(default_text().replace("intercept = 0.0 ", "intercept = -2.5 "), "firm")


def test_the_macro_says_what_python_says() -> None:
    chances = [0.0, 1e-12, 1e-6, 0.01, 0.3, 0.5, 0.9, 0.999999]
    with open_store() as warehouse:
        for policy in (default_policy(), CALIBRATED):
            rows = warehouse.fetch(
                "select c, recalibrated(c, $intercept::double, $slope::double) "
                "from (select unnest($chances::double[]) as c)",
                {
                    "chances": chances,
                    "intercept": policy.calibration_intercept,
                    "slope": policy.calibration_slope,
                },
            )
            for chance, said in rows[1:]:
                assert said == pytest.approx(policy.recalibrated(chance), rel=1e-9)
                assert policy.stated(policy.recalibrated(chance)) == pytest.approx(chance, rel=1e-9)
        assert warehouse.fetch("select recalibrated(null, 1.0, 0.5)") == [(None,)]
    assert CALIBRATED.recalibrated(0.5) == pytest.approx(1 / (1 + math.exp(0.7)))


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Warehouse]:
    with open_store(make_store(tmp_path_factory.mktemp("firm") / "firm.duckdb")) as warehouse:
        yield warehouse


JUDGED = (
    "select reading_id, verdict, smallest_ratio_seen, flip_chance, settled_by, probability, score "
    "from screening.result order by reading_id"
)


def test_own_chances_are_carried_over_as_the_shared_ones() -> None:
    """A line of 0.3 on chances as the fleet teaches them flags the same, whoever holds it."""
    own = (("afci", "lift_k", 4.0), ("afci", "probability", 0.3), ("main", "probability", 0.05))
    former = default_policy().with_own(own)
    fitted = _fitted(planted(1, -0.4, 0.7))
    assert fitted
    moved = _moved(former, fitted, is_same_flagged=True)
    assert moved.lines_for("afci")["probability"] == moved.flag_probability != 0.3
    assert moved.stated(moved.lines_for("main")["probability"]) == pytest.approx(0.05)
    assert moved.lines_for("afci")["lift_k"] == 4.0
    assert _moved(former, fitted, is_same_flagged=False).own == own


def test_moving_chances_and_lines_alike_changes_no_verdict(store: Warehouse) -> None:
    """Lines of 0.3 on recalibrated chances are lines of what states as 0.3, in every step."""
    lines = {k: CALIBRATED.stated(getattr(CALIBRATED, k)) for k in ("flag_probability",)}
    lines["flag_loaded_probability"] = CALIBRATED.stated(CALIBRATED.flag_loaded_probability)
    screen(store, default_policy().moved(**lines))
    plain = store.fetch(JUDGED)
    screen(store, CALIBRATED)
    moved = store.fetch(JUDGED)
    assert any(one[5] is not None and one[5] > 0.5 for one in plain)
    for before, after in zip(plain, moved, strict=True):
        assert before[:2] == after[:2]
        assert before[4] == after[4]
        for i in (2, 3):
            if before[i] is not None and 1e-9 < before[5] < 1 - 1e-9:
                assert after[i] == pytest.approx(before[i], rel=1e-6, nan_ok=True)
        assert after[5] == pytest.approx(CALIBRATED.recalibrated(before[5]), rel=1e-9)


def test_past_verdicts_stay_as_they_were_given(store: Warehouse, tmp_path: Path) -> None:
    screen(store, default_policy())
    device = store.fetch(
        "select inspection_id, panel_id, position from screening.result "
        "where probability < 0.9 order by probability desc, reading_id limit 1"
    )[0]
    before = explain(store, *device)
    (tmp_path / "firm.toml").write_text(as_toml(CALIBRATED), encoding="utf-8")
    day = dt.date(2026, 11, 1)
    done = adopt(store, tmp_path / "firm.toml", today=day)
    assert ("calibration_slope", 1.0, 0.6) in done.moved
    assert "calibration.slope: 1 becomes 0.6" in "\n".join(done.lines())
    screen(store, today=day)
    now = explain(store, *device)
    then = explain(store, *device, before.given.screening_id)
    assert replace(then, last_screening_id=0) == replace(before, last_screening_id=0)
    assert now.is_reproduced
    assert then.is_reproduced
    assert now.given.probability != before.given.probability
    assert "[calibration]" in now.policy_text
    every = store.fetch("select inspection_id, panel_id, position from screening.result")
    assert len(every) > 100
    assert all(explain(store, *one).is_reproduced for one in every[::4])


def test_without_findings_it_says_how_many_are_wanted(store: Warehouse) -> None:
    found = recalibrate(store)
    assert found.policy is None
    assert found.sentence.startswith("Too few findings to recalibrate on: 0 faults, of 30 wanted")


FAULTY = """
insert into records.finding by name select reading_id as finding_id, 1 as file_id,
    reading_id as line, reading_id as content_hash, true as is_current, inspection_id, panel_id,
    position, case when hash(reading_id, 3) % 1000 < 1000 * recalibrated(probability, 2.5, 0.5)
        then 'loose_connection' else 'nothing_found' end as finding
from screening.result
"""


def test_a_second_recalibration_stands_on_the_first(tmp_path: Path) -> None:
    """All are examined, faults far oftener than stated: one line comes out either way."""
    with open_store(make_store(tmp_path / "firm.duckdb")) as warehouse:
        warehouse.execute(FAULTY)
        first = recalibrate(warehouse, is_same_flagged=True)
        assert first.policy is not None, first.sentence
        flagged = "select count(*) from screening.result where verdict like '%connection'"
        before = warehouse.fetch(flagged)
        screen(warehouse, first.policy)
        assert warehouse.fetch(flagged) == before
        again = recalibrate(warehouse)
        assert again.policy is None
        assert "come no nearer" in again.sentence
        assert first.intercept
        assert first.slope
        assert again.intercept
        assert again.slope
        usual = [one.intercept.value - 7 * one.slope.value for one in (first, again)]
        assert usual[1] == pytest.approx(usual[0], abs=0.25)
        text = first.toml(dt.date(2026, 11, 1))
    assert text.startswith("# Recalibrated on 2026-11-01")
    assert all(line.startswith("# ") for line in text.partition("\n\n")[0].splitlines())
    restored: Policy = parse(text, "default")
    assert restored.numbers() == pytest.approx(first.policy.numbers())
