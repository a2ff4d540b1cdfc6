"""Agreement of repeated scans: published numbers out of a store, planted offsets, none at all."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest

from analytics.tuning import Agreed, agreement
from analytics.tuning.repeats import hanging_together, offsets
from analytics.warehouse import open_store
from tests.published.test_agreement import CUBE


@dataclass
class Scan:
    """One reading to put into a store."""

    visit: str
    day: int
    device: int
    rise_k: float
    inspector: str = "a"
    camera: str = "c1"
    clamp: str = ""
    current_a: float = 10.0


INSERT = """
insert into records.reading by name select
    $number::bigint as reading_id, 1 as file_id, $number as line, hash($number) as content_hash,
    true as is_current, $visit as inspection_id,
    timestamp '2026-01-01 09:00:00' + to_days($day::integer) as inspected_at,
    nullif($inspector, '') as inspector_id, $camera as camera_id,
    nullif($clamp, '') as clamp_id,
    'P' || ($device // 10) as panel_id, 20e0 as ambient_degc, 20e0 + $rise_k as device_degc,
    $device % 10 + 1 as position, 'standard' as device_class, 1 as poles, 20e0 as rated_a,
    $current_a as current_a, 45e0 as load_minutes
"""


def told(scans: list[Scan]) -> Agreed:
    with open_store() as warehouse:
        for number, scan in enumerate(scans):
            warehouse.execute(INSERT, {"number": number, **vars(scan)})
        for name in ("visit", "mark", "reading"):
            warehouse.build(f"normalise.{name}")
        return agreement(warehouse)


def test_the_published_study_out_of_a_store() -> None:
    """AIAG's three appraisers, ten parts, three trials (tests/published): as rises about 20 K.

    Offsets of the appraisers by hand from its means: 0.190, 0.068, -0.254 about 0.001.
    """
    scans = [
        Scan(f"{person}{trial}", 0, part, 20 + float(CUBE[person, trial, part]), f"i{person}")
        for person in range(3)
        for trial in range(3)
        for part in range(10)
    ]
    found = told(scans)
    study = found.crossed
    assert study
    assert (study.inspectors, study.devices, study.repeats) == (("i0", "i1", "i2"), 10, 3)
    assert study.by_ranges
    assert study.by_ranges.repeat == pytest.approx(0.2018567, abs=6e-5)
    assert study.by_ranges.measuring == pytest.approx(0.3057663, abs=6e-5)
    assert study.interaction_k2 == pytest.approx(-0.0086796, abs=5e-8)
    assert study.by_variances.interaction == 0.0
    assert study.by_variances.repeat == pytest.approx(0.1999332, abs=5e-8)
    assert study.by_variances.inspector == pytest.approx(0.2268375, abs=5e-8)
    by_hand = CUBE.mean(axis=(1, 2)) - CUBE.mean()
    assert [one.value for one in found.offsets] == pytest.approx(by_hand.tolist(), abs=1e-9)
    assert found.same_way
    within = np.mean([np.var(CUBE[:, :, part], axis=1, ddof=1) for part in range(10)])
    assert found.same_way.value_k == pytest.approx(float(np.sqrt(within)), abs=1e-9)
    assert "repeatability 0.20 K" in " ".join(found.lines())


def planted(seed: int) -> list[Scan]:
    """Return eight panels scanned on one day by two inspectors, cameras and clamps changing hands.

    Camera c2 reads 1.5 K above c1, clamp k2 4 % above k1; air differs by 0.3 K from visit to visit,
    a reading by 0.5 K and 1 %.
    """
    rng, scans = np.random.default_rng(seed), []
    for panel in range(8):
        rise = rng.uniform(5, 30, 6)
        current = rng.uniform(6, 15, 6)
        for turn, (person, camera, clamp) in enumerate(
            [("a", "c1", "k2"), ("a", "c2", "k1"), ("b", "c1", "k1"), ("b", "c2", "k2")]
        ):
            air, bias = rng.normal(0, 0.3), 1.5 if camera == "c2" else 0.0
            for slot in range(6):
                scans.append(
                    Scan(
                        f"{panel}-{turn}",
                        0,
                        10 * panel + slot,
                        float(rise[slot] + bias + air + rng.normal(0, 0.5)),
                        person,
                        camera,
                        clamp,
                        float(
                            current[slot]
                            * (1.04 if clamp == "k2" else 1.0)
                            * (1 + rng.normal(0, 0.01))
                        ),
                    )
                )
    return scans


def test_planted_offsets_are_recovered() -> None:
    held, found = 0, []
    for seed in range(12):
        by_name = {(one.subject, one.name): one for one in told(planted(seed)).offsets}
        camera, clamp = by_name["camera", "c2"], by_name["clamp", "k2"]
        held += camera.low <= 0.75 <= camera.high
        held += clamp.low <= 0.02 <= clamp.high
        found.append((camera.value, clamp.value, by_name["inspector", "b"].value))
    # Half of the difference, since offsets are about the mean of the two.
    assert np.mean(found, axis=0) == pytest.approx([0.75, 0.0196, 0.0], abs=0.08)
    assert abs(np.mean([one[1] for one in found]) - 0.0196) < 0.003
    # 95 % of 24; the pairs of a panel share visits, so the intervals are somewhat wide or narrow.
    assert held >= 20


def test_spread_is_that_of_one_reading_not_of_a_difference() -> None:
    rng = np.random.default_rng(1)
    scans = [
        Scan(f"{device}-{turn}", turn, 10 * device, float(20 + rng.normal(0, 0.8)))
        for device in range(300)
        for turn in range(2)
    ]
    found = told(scans)
    assert found.same_way
    assert found.same_way.low_k < 0.8 < found.same_way.high_k
    assert found.same_way.high_k - found.same_way.low_k < 0.2
    assert found.other_way is None
    assert found.offsets == ()


def test_what_is_no_repeat_is_left_out() -> None:
    """31 days later, a load of 6 % of rating more, another class of visit: none counts."""
    base = Scan("1", 0, 0, 20.0)
    assert told([base, Scan("2", 31, 0, 20.0)]).pairs == 0
    assert told([base, Scan("2", 1, 0, 20.0, current_a=11.2)]).pairs == 0
    assert told([base, Scan("2", 1, 1, 20.0)]).pairs == 0
    assert told([base, Scan("2", 30, 0, 20.0, current_a=10.9)]).pairs == 1


def test_without_repeats_it_says_how_to_make_some() -> None:
    found = told([Scan("1", 0, 0, 20.0), Scan("2", 90, 0, 20.0)])
    text = " ".join(found.lines())
    assert text.startswith("No device was scanned twice within 30 days at a like load")
    assert "two or three inspectors scan the same ten devices" in text


def test_who_was_not_noted_is_neither_the_same_nor_another() -> None:
    found = told([Scan("1", 0, 0, 21.0, "", "c1"), Scan("2", 1, 0, 20.0, "", "c1")])
    assert (found.pairs, found.same_way, found.other_way) == (1, None, None)
    assert "who read them with which camera was not noted" in found.sentence


def test_one_pair_gives_an_offset_without_an_interval() -> None:
    found = told([Scan("1", 0, 0, 21.0, "a", "c1"), Scan("2", 1, 0, 20.0, "b", "c2")])
    camera = found.offsets[0]
    assert (camera.name, camera.value) == ("c1", pytest.approx(0.5))
    assert np.isnan(camera.low)
    text = " ".join(found.lines())
    assert "too few to tell" in text
    assert "Of 1 pairs of readings with two cameras, 1 had two inspectors too" in text


def test_offsets_of_lots_that_do_not_hang_together_add_up_in_each() -> None:
    rows = [((1, 2), ("a", "b"), 2.0), ((3, 4), ("c", "d"), -1.0), ((5, 6), ("a", "b"), 4.0)]
    found = {one.name: one.value for one in offsets("camera", rows)}
    assert found == pytest.approx({"a": 1.5, "b": -1.5, "c": -0.5, "d": 0.5})
    assert hanging_together([(1, 2), (2, 5), (7, 9)]) == {1: 1, 2: 1, 5: 1, 7: 7, 9: 7}
