"""Partial verification against published tables, exact limits and its own guarantee."""

from __future__ import annotations

import numpy as np
import pytest

from analytics.errors import NotEnoughDataError, UsageError
from analytics.statistics.few_events import gamma_limits, ratio_limits, share_limits
from analytics.statistics.verification import Table, corrected, naive

HEPATIC = Table.of((231, 32, 166), (27, 54, 140))
"""Liver scintigraphy: D. E. Drum, J. S. Christacopoulos, J. Nucl. Med. 13 (1972) 908, as carried
by a public package (published)."""
SPECT = Table.of((195, 232, 996), (5, 39, 1221))
"""Thallium SPECT: M. P. Cecil et al. (1996), as carried by a public package (published)."""
DIAPHANOGRAPHY = Table.of((26, 11, 30), (7, 44, 782))
"""Diaphanography of the breast, as carried by a public package (published)."""


def test_hepatic_scintigraphy() -> None:
    # Begg & Greenes 1983: .836 and .738 (from memory); all digits run in R, PVBcorrect.
    found = corrected(HEPATIC)
    assert found.sensitivity.value == pytest.approx(0.8364667154, abs=1e-10)
    assert found.specificity.value == pytest.approx(0.7383980181, abs=1e-9)
    assert found.fault_share == pytest.approx(0.6930292, abs=5e-8)
    assert found.naive_sensitivity == pytest.approx(0.8953488, abs=5e-8)
    assert found.naive_specificity == pytest.approx(0.6279070, abs=5e-8)
    assert naive(HEPATIC).value == found.naive_sensitivity


def test_hepatic_intervals() -> None:
    # Multinomial delta errors and logit intervals, worked out in another program.
    delta, logit = corrected(HEPATIC, "delta"), corrected(HEPATIC, "logit")
    assert delta.sensitivity.error == pytest.approx(0.024498, abs=5e-7)
    assert delta.specificity.error == pytest.approx(0.038863, abs=5e-7)
    assert (logit.sensitivity.low, logit.sensitivity.high) == pytest.approx(
        (0.7826, 0.8790), abs=5e-5
    )
    assert (logit.specificity.low, logit.specificity.high) == pytest.approx(
        (0.6555, 0.8072), abs=5e-5
    )
    assert delta.sensitivity.high - delta.sensitivity.value == pytest.approx(
        1.959964 * 0.024498, rel=1e-4
    )
    assert delta.false_alarm_share.value == pytest.approx(1 - 0.7383980181)


@pytest.mark.parametrize(
    ("table", "sensitivity", "specificity", "naive_pair"),
    [
        # Cecil 1996: .98/.14 become .82/.59 (from memory); digits run in R.
        (SPECT, 0.8188629, 0.5918754, (0.975, 0.1439114)),
        # Digits run in R.
        (DIAPHANOGRAPHY, 0.2916783, 0.9730310, (0.7878788, 0.8)),
    ],
    ids=["spect", "diaphanography"],
)
def test_other_tables(
    table: Table, sensitivity: float, specificity: float, naive_pair: tuple[float, float]
) -> None:
    found = corrected(table)
    assert found.sensitivity.value == pytest.approx(sensitivity, abs=5e-8)
    assert found.specificity.value == pytest.approx(specificity, abs=5e-8)
    assert (found.naive_sensitivity, found.naive_specificity) == pytest.approx(naive_pair, abs=5e-8)


def test_all_examined_needs_no_correction() -> None:
    found = corrected(Table.of((30, 10, 0), (20, 140, 0)), "logit")
    assert found.sensitivity.value == pytest.approx(0.6)
    assert found.sensitivity.value == found.naive_sensitivity
    # The binomial error, since nothing is left to draw: sqrt(.6 × .4 / 50).
    assert found.sensitivity.error == pytest.approx(np.sqrt(0.24 / 50))


def test_strata_are_the_covariate_version() -> None:
    # By hand: 10·(4/5) + 6·(1/2) = 11 flagged; 100·(1/10) + 50·(2/25) = 14 missed.
    table = Table.of(([4, 1], [1, 1], [5, 4]), ([1, 2], [9, 23], [90, 25]))
    found = corrected(table)
    assert found.sensitivity.value == pytest.approx(11 / 25)
    assert found.faulty_count == pytest.approx(25)
    assert found.wasted_share.value == pytest.approx(5 / 16)


def test_an_unexamined_stratum_gives_a_bound() -> None:
    known = Table.of((20, 5, 0), (4, 96, 0))
    split = Table.of(([20, 0], [5, 0], [0, 0]), ([4, 0], [96, 0], [0, 30]))
    point, bound = corrected(known).sensitivity, corrected(split).sensitivity
    assert bound.is_bound
    assert not point.is_bound
    # All thirty faulty: 20 of 54; none: 20 of 24.
    assert bound.low < 20 / 54
    assert bound.high == pytest.approx(point.high)


def test_no_fault_among_the_rest() -> None:
    # 300 examined of 3,000, none faulty: at most 3.69 / 300 of them (rule of three, two-sided).
    found = corrected(Table.of((40, 0, 0), (0, 300, 2700))).sensitivity
    assert found.value == found.high == 1.0
    assert found.low == pytest.approx(40 / (40 + 10 * 3.688879), abs=0.04)


def test_what_cannot_be_told_is_refused() -> None:
    with pytest.raises(NotEnoughDataError, match="was faulty"):
        corrected(Table.of((0, 5, 0), (0, 9, 90)))
    with pytest.raises(UsageError, match="negative"):
        Table.of((1, -1, 0), (0, 1, 0))


@pytest.mark.parametrize(
    ("hits", "count", "low", "high"),
    [
        # R. G. Newcombe, Stat. Med. 17 (1998) 857 (from memory, recomputed).
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
        # Sensitivity and specificity of a published line, 26 of 41 and 58 of 72 (recomputed).
        (26, 41, 0.48121, 0.76410),
        (58, 72, 0.69967, 0.88049),
    ],
)
def test_wilson(hits: int, count: int, low: float, high: float) -> None:
    assert share_limits(hits, count) == pytest.approx((low, high), abs=5e-5)


def test_gamma_limits_are_poisson_limits() -> None:
    from scipy.stats import chi2

    for events in (1, 4, 30):
        exact = (chi2.ppf(0.025, 2 * events) / 2, chi2.ppf(0.975, 2 * events + 2) / 2)
        assert gamma_limits([7.0], [events]) == pytest.approx((7 * exact[0], 7 * exact[1]))
    assert gamma_limits([], []) == (0.0, 0.0)
    with pytest.raises(UsageError, match="differ in number"):
        gamma_limits([1.0, 2.0], [1])


def test_ratio_limits_by_hand() -> None:
    # Symmetric limits are Fieller's: θ = 4 ± 1 over 8 ± 2.
    low, high = ratio_limits(4, (3, 5), 8, (6, 10))
    roots = np.roots([64 - 4, -2 * 32, 16 - 1])
    assert (low, high) == pytest.approx((roots.min(), roots.max()))
    assert ratio_limits(4, (3, 5), 1, (0, 3))[1] == float("inf")


@pytest.mark.parametrize(("missed", "share_seen"), [(60, 0.03), (200, 0.03), (8, 0.2)])
def test_few_events_interval_covers(missed: int, share_seen: float) -> None:
    # 200 faults flagged, of which 0.7 are examined; the rest examined at random.
    rng = np.random.default_rng(20)
    truth, covered, tries = 200 / (200 + missed), 0, 400
    for _ in range(tries):
        hit, sound = rng.binomial(200, 0.7), rng.binomial(60, 0.7)
        seen = rng.hypergeometric(missed, 9000 - missed, int(9000 * share_seen))
        rest = 9000 - int(9000 * share_seen)
        clear = (seen, int(9000 * share_seen) - seen, rest)
        rate = corrected(Table.of((hit, sound, 260 - hit - sound), clear)).sensitivity
        covered += rate.low <= truth <= rate.high
    assert covered >= 0.94 * tries
