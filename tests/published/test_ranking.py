"""The area under the ROC curve with DeLong's error, against a published table and by definition."""

from __future__ import annotations

import numpy as np
import pytest

from analytics.errors import NotEnoughDataError, UsageError
from analytics.statistics.ranking import best_line, ranking_area

SCORE = np.repeat([1, 2, 3, 4, 5] * 2, [33, 6, 6, 11, 2, 3, 2, 2, 11, 33]).astype(float)
"""Ratings 1 to 5 of 58 normal and 51 abnormal pictures: J. A. Hanley, B. J. McNeil, Radiology 143
(1982) 29 (from memory)."""
FAULTY = np.repeat([False, True], [58, 51])


def test_hanley_mcneil_ratings() -> None:
    # Area 0.8932, DeLong error 0.0307, 0.83295 to 0.95339: Stata's manual of roctab (from memory).
    area = ranking_area(SCORE, FAULTY)
    assert area.value == pytest.approx(0.8932, abs=5e-5)
    assert area.error == pytest.approx(0.0307, abs=5e-5)
    assert (area.low, area.high) == pytest.approx((0.83295, 0.95339), abs=5e-6)
    assert (area.faulty_count, area.sound_count) == (51, 58)


def test_definition_pair_by_pair() -> None:
    rng = np.random.default_rng(3)
    score = np.round(rng.normal(size=80), 1)
    faulty = rng.random(80) < 0.3 + 0.2 * (score > 0)
    pairs = score[faulty][:, None] - score[~faulty][None, :]
    wins = (pairs > 0) + 0.5 * (pairs == 0)
    variance = wins.mean(axis=1).var(ddof=1) / faulty.sum()
    variance += wins.mean(axis=0).var(ddof=1) / (~faulty).sum()
    area = ranking_area(np.append(score, np.nan), np.append(faulty, True))
    assert area.value == pytest.approx(wins.mean(), abs=1e-14)
    assert area.error == pytest.approx(np.sqrt(variance), abs=1e-14)


def test_agrees_with_the_reference_library() -> None:
    from sklearn.metrics import roc_auc_score, roc_curve

    rng = np.random.default_rng(4)
    score = np.round(rng.normal(size=300), 1)
    faulty = rng.random(300) < 1 / (1 + np.exp(1 - score))
    assert ranking_area(score, faulty).value == pytest.approx(roc_auc_score(faulty, score))
    false, true, _ = roc_curve(faulty, score, drop_intermediate=False)
    best = best_line(score, faulty)
    assert best.sensitivity + best.specificity - 1 == pytest.approx((true - false).max())
    assert best.sensitivity == pytest.approx(np.mean(score[faulty] >= best.threshold))


def test_too_few_are_refused() -> None:
    with pytest.raises(NotEnoughDataError):
        ranking_area([1.0, 2.0, 3.0], [True, False, False])
    with pytest.raises(NotEnoughDataError):
        best_line([1.0, 2.0], [False, False])
    with pytest.raises(UsageError, match="differ in number"):
        ranking_area([1.0], [True, False])
