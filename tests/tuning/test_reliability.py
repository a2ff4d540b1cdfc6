"""Stated chances set against findings, on rows made by hand."""

from __future__ import annotations

import pytest

from analytics.tuning.reliability import Reliability, reliability
from analytics.warehouse import open_store

CANDIDATE = """
create or replace table tuning.candidate as
select
    band as evidence_band, 0.5 as load_fraction, stated as probability, is_flagged,
    number <= seen as is_examined, number <= faulty as is_fault
from (values {rows}) as t(band, stated, is_flagged, count, seen, faulty),
    lateral (select unnest(range(1, count + 1)) as number)
"""


def judged(rows: str) -> Reliability | None:
    with open_store() as warehouse:
        warehouse.execute(CANDIDATE.format(rows=rows))
        return reliability(warehouse, 0.8)


def test_bands_and_parts_by_hand() -> None:
    # 100 readings at 10 %, 20 examined with 2 faulty; 50 at 50 %, all examined with 30 faulty.
    found = judged("(-3, 0.1, false, 100, 20, 2), (0, 0.5, true, 50, 50, 30)")
    assert found is not None
    assert [(b.stated, b.found) for b in found.bands] == [
        (pytest.approx(0.1), pytest.approx(0.1)),
        (pytest.approx(0.5), pytest.approx(0.6)),
    ]
    base = (10 + 30) / 150
    assert found.parts.reliability == pytest.approx(50 * 0.01 / 150)
    assert found.parts.uncertainty == pytest.approx(base * (1 - base))
    whole = found.parts.reliability - found.parts.resolution + found.parts.uncertainty
    assert found.parts.score == pytest.approx(whole)
    assert found.slope == 0.8


def test_flagged_and_rest_of_a_band_stand_for_their_own() -> None:
    # 10 flagged, all examined, all faulty; 90 not flagged, 9 examined, none faulty: a tenth.
    found = judged("(0, 0.5, true, 10, 10, 10), (0, 0.5, false, 90, 9, 0)")
    assert found is not None
    assert found.bands[0].found == pytest.approx(0.1)


def test_the_rising_fit_pools_what_falls() -> None:
    found = judged("(-3, 0.1, false, 100, 100, 40), (0, 0.5, true, 100, 100, 20)")
    assert found is not None
    assert [b.rising for b in found.bands] == pytest.approx([0.3, 0.3])


def test_without_findings_there_is_none() -> None:
    assert judged("(-3, 0.1, false, 100, 0, 0)") is None


def test_loads_stand_for_themselves() -> None:
    # Idle: 900 readings, 30 examined, 6 faulty; loaded: 100, 50 examined, none faulty: 180 of 1000.
    rows = "(-7, 0.001, false, 900, 30, 6, 0.05), (-7, 0.001, false, 100, 50, 0, 0.9)"
    with open_store() as warehouse:
        warehouse.execute(
            CANDIDATE.format(rows=rows)
            .replace("0.5 as load_fraction", "load_fraction")
            .replace("faulty), lateral", "faulty, load_fraction), lateral")
            .replace("seen, faulty)", "seen, faulty, load_fraction)")
        )
        found = reliability(warehouse, None)
    assert found is not None
    assert found.bands[0].found == pytest.approx(0.18)
    assert found.bands[0].examined == 80


def test_what_is_off_is_told_in_words() -> None:
    found = judged("(-5, 0.01, false, 1000, 100, 8), (0, 0.5, true, 60, 60, 30)")
    assert found is not None
    assert found.sentence == (
        "Stated chances of about 1 % are too low: of about 1 % 8 % were found; the others agree "
        "with what was found, as far as the findings tell. Slope 0.80 of found on stated log odds, "
        "where 1 is right: stated chances lie further apart than what was found."
    )
    right = judged("(-2, 0.1, false, 1000, 100, 10), (0, 0.5, true, 60, 60, 30)")
    assert right is not None
    assert right.sentence.startswith("Stated chances agree with what was found, as far as")
