"""Codes, standards and rules of the trade: what the functions say against what is printed."""

from __future__ import annotations

import numpy as np
import pytest

from analytics import units
from analytics.errors import UsageError
from analytics.statistics import codes, heat


def test_action_bands_over_similar_components() -> None:
    # ANSI/NETA ATS/MTS, Table 100.18: 1-3, 4-15, over 15 °C (published).
    bands = heat.OVER_SIMILAR.band([0.9, 1, 3, 4, 15, 16]).tolist()
    assert bands == [0, 1, 1, 2, 2, 3]


def test_action_bands_over_ambient_air() -> None:
    # ANSI/NETA ATS/MTS, Table 100.18: 1-10, 11-20, 21-40, over 40 °C (published).
    bands = heat.OVER_AMBIENT.band([0, 1, 10, 11, 20, 21, 40, 41]).tolist()
    assert bands == [0, 1, 1, 2, 2, 3, 3, 4]


def test_bands_between_whole_degrees_are_our_choice_and_say_so() -> None:
    # The table leaves (3, 4), (10, 11), (20, 21) open.
    assert heat.OVER_SIMILAR.band([3.01, 3.99]).tolist() == [2, 2]
    assert heat.OVER_AMBIENT.band([10.01, 20.01, 40.01]).tolist() == [2, 3, 4]
    assert "our own choice" in heat.OVER_SIMILAR.source
    assert "our own choice" in heat.OVER_AMBIENT.source


def test_bands_name_a_missing_rise() -> None:
    assert heat.OVER_AMBIENT.band(np.nan) == -1
    assert heat.OVER_AMBIENT.word(float("nan")) == "no rise"


def test_bands_in_fahrenheit_are_differences() -> None:
    # Public copies print 0.55 to 5.4 °F for the band of 1 to 3 °C; right is 1.8 to 5.4.
    edges = [units.difference_from_k(edge, "degF") for edge in (1.0, 3.0)]
    assert edges == pytest.approx([1.8, 5.4], abs=1e-12)
    assert [units.difference_from_k(e, "degF") for e in heat.OVER_AMBIENT.edges_k] == pytest.approx(
        [18.0, 36.0, 72.0], abs=1e-12
    )


def test_rise_that_worries_a_practitioner_is_the_band_edge() -> None:
    # About 70 °F over ambient: common practice, no published source.
    assert heat.WORRY_RISE.value == pytest.approx(38.9, abs=0.05)
    assert heat.WORRY_RISE.value == pytest.approx(units.difference_to_k(70, "degF"), abs=1e-12)
    assert heat.OVER_AMBIENT.band([heat.WORRY_RISE.value, 40.1]).tolist() == [3, 4]


def test_continuous_load_is_four_fifths_of_rating() -> None:
    # NEC 210.20(A), 215.3, Article 100 (published).
    assert codes.continuous_limit_a([15, 20, 30]).tolist() == [12.0, 16.0, 24.0]
    assert codes.least_rating_a(12, 4) == 19.0
    assert codes.next_standard_rating_a(codes.least_rating_a(12, 4)) == 20.0


def test_a_short_load_may_use_the_whole_rating() -> None:
    # NEC Article 100: continuous means three hours or more (published).
    assert not codes.is_over_limit(0.95 * 20, 20, 20 / 60)
    assert codes.is_over_limit(0.95 * 20, 20, 3)
    assert codes.is_over_limit(20.1, 20, 20 / 60)
    assert not codes.is_over_limit([12.0, 16.0], [15, 20], 8).any()


def test_standard_ratings_end() -> None:
    # NEC 240.6(A), from memory.
    assert codes.next_standard_rating_a([15, 15.1, 225, 226]).tolist() == [15, 20, 225, 250]
    assert np.isnan(codes.next_standard_rating_a(6001))


def test_a_breaker_in_the_cold_is_judged_by_its_rise() -> None:
    # 0 °F air, 70 °F device: 38.9 K of rise. Common practice, no published source.
    rise_k = units.to_degc(70, "degF") - units.to_degc(0, "degF")
    assert rise_k == pytest.approx(38.9, abs=0.05)


def test_rise_limits_of_the_product_standards() -> None:
    # UL 489, 7.1.4 (published): terminals 50 K, surfaces 60 and 85 °C in air of 40 °C.
    ul, iec = codes.UL_489, codes.IEC_60898
    assert (ul.terminal_k, ul.ambient_degc) == (50, 40)
    assert (ul.ambient_degc + ul.touched_metal_k, ul.ambient_degc + ul.touched_other_k) == (60, 85)
    # IEC 60898-1, from memory: 60 K, 40 K, 60 K in air of 30 °C.
    assert (iec.terminal_k, iec.touched_metal_k, iec.touched_other_k) == (60, 40, 60)
    assert iec.ambient_degc == 30


def test_largest_losses_and_the_resistance_they_allow() -> None:
    # IEC 60898-1, power-loss table, from memory; resistances derived.
    rated = [10, 16, 25, 32, 40, 50, 63, 100, 125]
    assert codes.largest_loss_w(rated).tolist() == [3, 3.5, 4.5, 6, 7.5, 9, 13, 15, 20]
    expected = [30, 13.7, 7.2, 5.86, 4.69, 3.6, 3.28, 1.5, 1.28]
    assert 1000 * codes.largest_resistance_ohm(rated) == pytest.approx(expected, rel=5e-3)
    assert np.isnan(codes.largest_loss_w(126))


@pytest.mark.parametrize(
    ("insulation_degc", "printed"),
    [
        (60, [1.29, 1.22, 1.15, 1.08, 1.00, 0.91, 0.82, 0.71, 0.58, 0.41]),
        (75, [1.20, 1.15, 1.11, 1.05, 1.00, 0.94, 0.88, 0.82, 0.75, 0.67, 0.58]),
        (90, [1.15, 1.12, 1.08, 1.04, 1.00, 0.96, 0.91, 0.87, 0.82, 0.76, 0.71]),
    ],
)
def test_ambient_factors_print_the_table(insulation_degc: int, printed: list[float]) -> None:
    # NEC Table 310.15(B)(1)(1), each band at its upper edge (published, recomputed).
    edges_degc = 10.0 + 5.0 * np.arange(len(printed))
    factors = codes.ambient_factor(edges_degc, insulation_degc)
    assert factors.round(2).tolist() == printed


def test_ambient_factor_applied() -> None:
    # NEC 310.15(B): 25 A at 75 °C in 40 °C air gives 22 A (published).
    assert 25 * codes.ambient_factor(40, 75).round(2) == pytest.approx(22)
    assert np.isnan(codes.ambient_factor([60, 75], [60, 60])).all()


@pytest.mark.parametrize(
    ("material", "awg", "printed"),
    [
        ("copper", "14", [15, 20, 25]),
        ("copper", "12", [20, 25, 30]),
        ("copper", "10", [30, 35, 40]),
        ("copper", "8", [40, 50, 55]),
        ("copper", "6", [55, 65, 75]),
        ("aluminium", "12", [15, 20, 25]),
        ("aluminium", "10", [25, 30, 35]),
        ("aluminium", "8", [35, 40, 45]),
        ("aluminium", "6", [40, 50, 55]),
    ],
)
def test_ampacities(material: str, awg: str, printed: list[int]) -> None:
    # NEC 2023, Table 310.16 (published). Old editions had 20 and 25 A for 14 and 12 AWG at 60 °C.
    found = [codes.ampacity_a([material], [awg], column)[0] for column in (60, 75, 90)]
    assert found == printed


def test_largest_device_of_small_wires() -> None:
    # NEC 240.4(D) (published).
    material = ["copper"] * 3 + ["aluminium"] * 2 + ["copper"]
    found = codes.largest_device_a(material, ["14", "12", "10", "12", "10", "6"])
    assert found[:5].tolist() == [15, 20, 30, 15, 25]
    assert np.isnan(found[5])


def test_unknown_column_is_refused() -> None:
    with pytest.raises(UsageError, match="no 70 °C column"):
        codes.ampacity_a(["copper"], ["14"], 70)
