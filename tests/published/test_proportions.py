"""Intervals of shares and of their differences against Newcombe's tables.

Source: R. G. Newcombe, Stat. Med. 17 (1998) 857 and 873; typed from memory, equal to statsmodels
and R's prop.test and binom.test to four decimals (MEM+).
"""

from __future__ import annotations

import numpy as np
import pytest
from statsmodels.stats.contingency_tables import StratifiedTable, Table
from statsmodels.stats.proportion import proportion_confint

from analytics.errors import NotEnoughDataError, UsageError
from analytics.statistics import proportions, stratified

COUNTS = ((81, 263), (15, 148), (0, 20), (1, 29))


@pytest.mark.parametrize(
    ("counts", "ends"),
    list(
        zip(
            COUNTS,
            ((0.2553, 0.3662), (0.0624, 0.1605), (0.0, 0.1611), (0.0061, 0.1718)),
            strict=True,
        )
    ),
)
def test_wilson(counts: tuple[int, int], ends: tuple[float, float]) -> None:
    """S-S1, Wilson's score interval."""
    assert proportions.wilson(*counts) == pytest.approx(ends, abs=5.1e-5)


@pytest.mark.parametrize(
    ("counts", "ends"),
    list(
        zip(
            COUNTS,
            ((0.2535, 0.3682), (0.0598, 0.1644), (0.0, 0.2005), (0.0018, 0.1963)),
            strict=True,
        )
    ),
)
def test_wilson_corrected(counts: tuple[int, int], ends: tuple[float, float]) -> None:
    """S-S1, corrected for continuity."""
    found = proportions.wilson(*counts, is_corrected=True)
    assert found == pytest.approx(ends, abs=5.1e-5)


@pytest.mark.parametrize(
    ("counts", "ends"),
    list(
        zip(
            COUNTS,
            ((0.2527, 0.3676), (0.0578, 0.1617), (0.0, 0.1684), (0.0009, 0.1776)),
            strict=True,
        )
    ),
)
def test_clopper_pearson(counts: tuple[int, int], ends: tuple[float, float]) -> None:
    """S-S1, the exact interval."""
    assert proportions.clopper_pearson(*counts) == pytest.approx(ends, abs=5.1e-5)


@pytest.mark.parametrize(
    ("one", "other", "low", "high"),
    [
        ((56, 70), (48, 80), 0.0524, 0.3339),
        ((9, 10), (3, 10), 0.1705, 0.8090),
        ((6, 7), (2, 7), 0.0582, 0.8062),
        ((5, 56), (0, 29), -0.0381, 0.1926),
        ((0, 10), (0, 20), -0.1611, 0.2775),
        ((0, 10), (0, 10), -0.2775, 0.2775),
        ((10, 10), (0, 20), 0.6791, 1.0),
        ((10, 10), (0, 10), 0.6075, 1.0),
    ],
)
def test_difference(one: tuple[int, int], other: tuple[int, int], low: float, high: float) -> None:
    """S-S2, method 10."""
    found = proportions.difference(*one, *other)
    assert found[1:] == pytest.approx((low, high), abs=5.1e-5)
    assert found[0] == pytest.approx(one[0] / one[1] - other[0] / other[1])


def test_intervals_of_every_count_agree_with_the_reference_library() -> None:
    hits = np.arange(41)
    for method, found in (
        ("wilson", proportions.wilson(hits, 40)),
        ("beta", proportions.clopper_pearson(hits, 40)),
    ):
        low, high = proportion_confint(hits, np.full(41, 40), method=method)
        assert found[0] == pytest.approx(low, abs=1e-12)
        assert found[1] == pytest.approx(high, abs=1e-12)


def test_no_total_gives_nothing_and_too_many_hits_are_refused() -> None:
    assert np.isnan(np.array(proportions.wilson(0, 0))).all()
    assert np.isnan(np.array(proportions.clopper_pearson(0, 0))).all()
    assert np.isnan(np.array(proportions.difference(1, 2, 0, 0))).all()
    with pytest.raises(UsageError, match="as hits"):
        proportions.wilson(3, 2)


HITS, TOTALS = np.array([4, 12, 3]), np.array([20, 25, 40])
OTHER_HITS, OTHER_TOTALS = np.array([2, 5, 1]), np.array([22, 21, 35])


def test_mantel_haenszel_agrees_with_the_reference_library() -> None:
    tables = [
        np.array([[a, n - a], [b, m - b]])
        for a, n, b, m in zip(HITS, TOTALS, OTHER_HITS, OTHER_TOTALS, strict=True)
    ]
    whole = StratifiedTable(tables)
    found = stratified.mantel_haenszel(HITS, TOTALS, OTHER_HITS, OTHER_TOTALS)
    assert found.odds_ratio == pytest.approx(whole.oddsratio_pooled, rel=1e-12)
    assert found.p_value == pytest.approx(whole.test_null_odds().pvalue, rel=1e-9)
    assert found.low < found.difference < found.high


def test_trend_agrees_with_the_reference_library() -> None:
    hits, totals, scores = np.array([5, 8, 14, 11]), np.array([50, 60, 50, 40]), np.arange(4)
    table = Table(np.array([totals - hits, hits])).test_ordinal_association(np.arange(2), scores)
    found = stratified.trend([hits], [totals], scores)
    assert found.z == pytest.approx(table.zscore, rel=1e-9)
    assert found.p_value == pytest.approx(table.pvalue, rel=1e-9)


def test_a_change_of_mix_is_no_change() -> None:
    """Each class keeps its share, 1 % and 10 %; only how many of each are seen changes."""
    totals = np.array([[900, 500, 100], [100, 500, 900]])
    hits = totals * np.array([[0.01], [0.10]])
    held = stratified.trend(hits, totals, [0, 1, 2])
    pooled = stratified.trend(hits.sum(axis=0), totals.sum(axis=0), [0, 1, 2])
    assert held.z == pytest.approx(0.0, abs=1e-9)
    assert pooled.z > 5
    two = stratified.mantel_haenszel(hits[:, 2], totals[:, 2], hits[:, 0], totals[:, 0])
    assert two.difference == pytest.approx(0.0, abs=1e-12)


def test_strata_of_one_group_tell_nothing() -> None:
    with pytest.raises(NotEnoughDataError):
        stratified.mantel_haenszel([1, 0], [5, 0], [0, 2], [0, 7])
    with pytest.raises(NotEnoughDataError):
        stratified.trend([[0, 0]], [[5, 5]], [0, 1])
