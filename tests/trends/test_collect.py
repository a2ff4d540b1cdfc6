"""Small stores: counts agree with a recount, and thin data says so instead of failing."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from analytics import querybook
from analytics.errors import NotEnoughDataError, UsageError
from analytics.trends import collect
from analytics.trends.report import lines
from analytics.warehouse import open_store
from tests.trends.conftest import Changed

FLAGGED = ("suspect_connection", "overload_and_connection")
OVER = ("overload", "overload_and_connection")


def test_counts_agree_with_a_recount(small: Path) -> None:
    with open_store(small, read_only=True) as store:
        found = collect(store)
        rows = store.fetch(
            "select m.quarter, s.verdict from normalise.measure as m "
            "join screening.result as s using (reading_id) "
            "where s.verdict not in ('cannot_judge', 'recheck')"
        )
    assert [one.quarter for one in found.quarters] == sorted({quarter for quarter, _ in rows})
    for one in found.quarters:
        mine = [verdict for quarter, verdict in rows if quarter == one.quarter]
        assert one.judged_count == one.flagged.total == one.overload.total == len(mine)
        assert one.flagged.count == sum(verdict in FLAGGED for verdict in mine)
        assert one.overload.count == sum(verdict in OVER for verdict in mine)
        assert one.flagged.low <= one.flagged.share <= one.flagged.high


def test_standings_add_up_to_the_firm(small: Path) -> None:
    with open_store(small, read_only=True) as store:
        found = collect(store)
    judged = sum(one.judged_count for one in found.quarters)
    flagged = sum(one.flagged.count for one in found.quarters)
    for subject in ("camera", "inspector", "office", "make"):
        rows = [s for s in found.standings if (s.subject, s.measure) == (subject, "flagged")]
        assert sum(one.judged_count for one in rows) == judged
        assert sum(one.hit_count for one in rows) == flagged
        assert all(one.shrunken_low < one.shrunken < one.shrunken_high for one in rows)


def test_a_subject_is_left_out_of_what_it_is_compared_with(small: Path) -> None:
    """One flagged reading in the store: whoever has it is expected to have none."""
    with open_store(small, read_only=True) as store:
        found = collect(store)
    for one in found.standings:
        if one.measure == "flagged" and one.hit_count == 1:
            assert one.expected == 0.0


def test_same_store_same_trends(small: Path) -> None:
    with open_store(small, read_only=True) as store:
        one, two = collect(store), collect(store)
    assert lines(one, is_all=True) == lines(two, is_all=True)
    assert repr(one) == repr(two)


def test_later_quarters_stay_out(small: Path) -> None:
    with open_store(small, read_only=True) as store:
        early = collect(store, "2026Q2")
    assert [one.quarter for one in early.quarters] == ["2026Q1", "2026Q2"]
    assert {one.quarter for one in early.points} <= {"2026Q1", "2026Q2"}
    assert [one.code for one in early.notices] == ["few_quarters"]


@pytest.mark.parametrize(
    "kept", ["quarter = '2026Q1'", "inspection_id = 'V003'", "make = 'M0'", "rise_k < 15"]
)
def test_thin_stores_have_no_signal(changed: Changed, kept: str) -> None:
    path = changed(
        f"delete from normalise.measure where not ({kept})",
        "delete from screening.result as s where not exists "
        "(select 1 from normalise.measure as m where m.reading_id = s.reading_id)",
    )
    with open_store(path, read_only=True) as store:
        found = collect(store)
    assert found.signals == ()
    assert found.quarters
    assert any("none shows more than chance brings" in line for line in lines(found))


def test_a_quarter_without_readings_says_so(small: Path) -> None:
    with open_store(small, read_only=True) as store:
        found = collect(store, "2027Q1")
    assert "No reading of 2027Q1 could be judged." in [one.sentence for one in found.notices]


def test_nothing_judged_is_told(changed: Changed) -> None:
    path = changed("update screening.result set verdict = 'cannot_judge'")
    with open_store(path, read_only=True) as store, pytest.raises(NotEnoughDataError):
        collect(store)


def test_what_is_no_quarter_is_refused(small: Path) -> None:
    with open_store(small, read_only=True) as store, pytest.raises(UsageError):
        collect(store, "2026-Q3")


def test_an_unscreened_store_is_told() -> None:
    with open_store() as store, pytest.raises(NotEnoughDataError, match="judged yet"):
        collect(store)


def test_a_baseline_fitted_anew_is_told(changed: Changed) -> None:
    path = changed("update screening.result set baseline_version = 'b0'")
    with open_store(path, read_only=True) as store:
        assert "newer_baseline" in [one.code for one in collect(store).notices]


def test_who_was_not_noted_is_never_named(changed: Changed) -> None:
    path = changed("update normalise.measure set inspector_id = null, office_id = null")
    with open_store(path, read_only=True) as store:
        found = collect(store)
    assert not {one.level_name for one in found.signals} & {"not noted"}


def test_keys_hold_on_rows(changed: Changed) -> None:
    """The header's key is unique in the result of every query of the trends."""
    params = {"span": 4, "longest": 3, "past": 12, "warm_k": 8.0, "settled_minutes": 15.0}
    path = changed("update normalise.measure set panel_id = 'P000' where panel_id = 'P001'")
    with open_store(path, read_only=True) as store:
        collect(store)
        names = [*querybook.names("trends"), "marts.trend_protocol", "marts.trend_referral"]
        for name in names:
            query = querybook.load(name)
            rows = store.frame(name, **{key: params[key] for key in query.params})
            assert len(rows), name
            if query.key:
                assert not rows.duplicated(list(query.key)).any(), name


def test_the_command_prints_sentences_and_json(small: Path) -> None:
    run = [sys.executable, "-m", "analytics.cli.main", "--store", str(small), "trends"]
    plain = subprocess.run([*run, "--all"], capture_output=True, text=True, check=True)
    assert plain.stdout.startswith("Trends up to 2026Q3")
    told = subprocess.run([*run, "--json"], capture_output=True, text=True, check=True)
    record = json.loads(told.stdout)
    assert record["quarter"] == "2026Q3"
    assert record["signals"] == []
    assert "electrician" in record["caution"]
