"""Many judgements at once, against published p-values and closed forms."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import ndtr

from analytics.errors import NotEnoughDataError, UsageError
from analytics.statistics import multiplicity

TRIAL = np.array(
    [
        *(0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344),
        *(0.0459, 0.3240, 0.4262, 0.5719, 0.6528, 0.7590, 1.0),
    ]
)
"""Fifteen p-values of Y. Benjamini, Y. Hochberg, J. R. Stat. Soc. B 57 (1995) 289."""


def test_benjamini_hochberg() -> None:
    # Four rejected at 0.05 where Bonferroni rejects three (from memory, recomputed).
    adjusted = multiplicity.benjamini_hochberg(TRIAL)
    expected = [0.0015, 0.003, 0.0095, 0.035625, 0.0603, 0.063857, 0.063857, 0.0645, 0.0765]
    expected += [0.486, 0.581182, 0.714875, 0.753231, 0.813214, 1.0]
    assert adjusted == pytest.approx(expected, abs=1e-6)
    assert np.sum(adjusted <= 0.05) == 4
    assert np.sum(TRIAL * len(TRIAL) <= 0.05) == 3


def test_order_and_gaps_do_not_matter() -> None:
    shuffled = np.random.default_rng(1).permutation(len(TRIAL))
    found = multiplicity.benjamini_hochberg(np.insert(TRIAL[shuffled], 4, np.nan))
    assert np.isnan(found[4])
    expected = multiplicity.benjamini_hochberg(TRIAL)[shuffled]
    assert np.delete(found, 4) == pytest.approx(expected, abs=0)


def test_agrees_with_the_reference_library() -> None:
    from scipy.stats import false_discovery_control

    p_value = np.random.default_rng(5).beta(0.7, 1, size=500)
    expected = false_discovery_control(p_value)
    assert multiplicity.benjamini_hochberg(p_value) == pytest.approx(expected, rel=1e-12)


def test_share_of_nulls() -> None:
    # #{p > 1/2} / (n/2): J. D. Storey 2002.
    assert multiplicity.null_share(TRIAL) == pytest.approx(4 / 7.5)
    even = (np.arange(1000) + 0.5) / 1000
    mixed = np.concatenate([even, np.full(250, 1e-6)])
    assert multiplicity.null_share(mixed) == pytest.approx(0.8)
    with pytest.raises(NotEnoughDataError):
        multiplicity.null_share([np.nan])


def normal_density(z: np.ndarray) -> np.ndarray:
    """Return the standard normal density."""
    return np.exp(-(z**2) / 2) / np.sqrt(2 * np.pi)


def test_local_false_share_of_two_groups() -> None:
    # 0.9 N(0, 1) + 0.1 N(3, 1): closed form.
    z = np.array([2.0, 2.5, 3.0, 4.0])
    found = multiplicity.local_false_share(normal_density(z), normal_density(z - 3), 0.9)
    assert found == pytest.approx([0.6675721, 0.3094321, 0.0908934, 0.0049531], abs=5e-8)
    tail = multiplicity.local_false_share(ndtr(-z[[0, 2]]), ndtr(3 - z[[0, 2]]), 0.9)
    assert tail == pytest.approx([0.1957289, 0.0237218], abs=5e-8)


def test_impossible_p_values_are_refused() -> None:
    with pytest.raises(UsageError, match="outside 0 to 1"):
        multiplicity.benjamini_hochberg([0.2, 1.2])


def test_q_values_by_counting() -> None:
    # Storey 2003: π0 of the smallest share of nulls among all flagged so, over p and above.
    p_value = np.random.default_rng(4).beta(0.5, 1, size=300)
    share = multiplicity.null_share(p_value)
    ranks = [np.sum(p_value <= p) for p in p_value]
    rough = share * 300 * p_value / ranks
    counted = [rough[p_value >= p].min() for p in p_value]
    assert multiplicity.q_values(p_value) == pytest.approx(np.minimum(counted, share), rel=1e-12)
    assert multiplicity.q_values(p_value, 1.0) == pytest.approx(
        multiplicity.benjamini_hochberg(p_value), rel=1e-12
    )
    with pytest.raises(UsageError, match="between 0 and 1"):
        multiplicity.q_values(p_value, 1.5)


def test_share_of_nulls_of_a_gene_table() -> None:
    # Hedenfalk's 3,170 p-values, 1,072 of them over 1/2: π0 = 0.6763406940 (recomputed exactly).
    # The p-values themselves come with no package here: only the count is used.
    p_value = np.append(np.full(1072, 0.75), np.full(3170 - 1072, 0.25))
    assert multiplicity.null_share(p_value) == pytest.approx(0.6763406940, abs=5e-11)


def test_tail_share_of_a_gene_table() -> None:
    # Efron 2010, prostate cancer: 49 of 6,033 z-scores at 3 or more where 8.14 are expected, a
    # false share of .166 (from memory, recomputed). Only the counts are used.
    z = np.append(np.full(49, 3.0), np.linspace(-3.0, 2.0, 6033 - 49))
    assert 6033 * ndtr(-3.0) == pytest.approx(8.143935, abs=5e-7)
    assert multiplicity.benjamini_hochberg(ndtr(-z))[0] == pytest.approx(0.166, abs=5e-4)


def test_local_false_shares_agree_with_the_reference_library() -> None:
    # statsmodels counts the edges of the bins, not the bins.
    from statsmodels.stats.multitest import local_fdr

    z = np.random.default_rng(3).normal(size=4000)
    z[:300] += 3
    found = multiplicity.local_false_shares(z, 0.93)
    expected = local_fdr(z, null_proportion=0.93, nbins=31)
    assert found == pytest.approx(expected, rel=1e-5)
    gaps = multiplicity.local_false_shares(np.append(z, np.nan), 0.93)
    assert np.isnan(gaps[-1])
    assert gaps[:-1] == pytest.approx(found, rel=1e-12)


def test_local_false_shares_find_the_two_groups() -> None:
    # 0.9 N(0, 1) + 0.1 N(3, 1), 200,000 draws, beside the closed form; a log-polynomial of degree
    # seven is an eighth off where the groups meet.
    generator = np.random.default_rng(8)
    z = generator.normal(size=200_000) + 3.0 * (generator.random(200_000) < 0.1)
    found = multiplicity.local_false_shares(z, 0.9, bins=60)
    at = [int(np.argmin(np.abs(z - point))) for point in (2.0, 2.5, 3.0, 4.0)]
    assert found[at] == pytest.approx([0.6675721, 0.3094321, 0.0908934, 0.0049531], rel=0.125)


def test_too_few_scores_show_no_density() -> None:
    with pytest.raises(NotEnoughDataError, match="30 scores"):
        multiplicity.local_false_shares(np.linspace(-1, 1, 30))
    with pytest.raises(NotEnoughDataError):
        multiplicity.local_false_shares(np.zeros(500))
