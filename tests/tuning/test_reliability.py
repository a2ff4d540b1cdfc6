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
        return reliability(warehouse)


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
    # Two points: the slope is that of the line through their logits.
    assert found.slope == pytest.approx((0.4054651 + 2.1972246) / 2.1972246, rel=1e-6)


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
    only_sound = judged("(-3, 0.1, false, 100, 30, 0)")
    assert only_sound is not None
    assert only_sound.slope is None
