"""Control charts against textbook examples and run lengths.

Sources: Montgomery, Introduction to Statistical Quality Control (from memory, recomputed from the
typed data); NIST/SEMATECH e-Handbook 6.3.2.3 and 6.3.2.4 (EWMA found quoted, CUSUM from memory);
run lengths from the R package spc, itself in agreement with Montgomery's tables.
"""

from __future__ import annotations

import numpy as np
import pytest

from analytics.errors import NotEnoughDataError, UsageError
from analytics.statistics import charts
from analytics.statistics.run_lengths import cusum_run_length, ewma_run_length
from tests.published import chart_tables as given


def test_orange_juice() -> None:
    """S-K1: trial limits, two samples out, limits without them (Montgomery, ch. 7; MEM+)."""
    trial = charts.share_chart(given.ORANGE_JUICE, np.full(30, 50))
    assert trial.center == pytest.approx(0.2313333, abs=5e-8)
    assert trial.low[0] == pytest.approx(0.0524275, abs=5e-8)
    assert trial.high[0] == pytest.approx(0.4102391, abs=5e-8)
    assert (np.flatnonzero(trial.is_out) + 1).tolist() == [15, 23]
    kept = np.delete(given.ORANGE_JUICE, [14, 22])
    revised = charts.share_chart(kept, np.full(28, 50))
    found = revised.center, revised.low[0], revised.high[0]
    assert found == pytest.approx((0.2150, 0.0407028, 0.3892972), abs=5e-8)
    again = charts.share_chart(given.ORANGE_JUICE, np.full(30, 50), center=revised.center)
    assert (np.flatnonzero(again.is_out) + 1).tolist() == [15, 21, 23]


def test_orange_juice_after_the_repair() -> None:
    """S-K1: 24 later samples have a middle and an upper limit of their own (MEM+)."""
    later = charts.share_chart(given.ORANGE_JUICE_LATER, np.full(24, 50))
    assert later.center == pytest.approx(0.1108333, abs=5e-8)
    assert later.high[0] == pytest.approx(0.2440207, abs=5e-8)
    assert later.low[0] == 0.0


def test_purchase_orders_of_unequal_size() -> None:
    """S-K2: limits that follow the sample's size; only sample 11 is out (Montgomery; MEM+)."""
    chart = charts.share_chart(given.PURCHASE_ERRORS, given.PURCHASE_SIZES)
    assert chart.center == pytest.approx(234 / 2450)
    assert (np.flatnonzero(chart.is_out) + 1).tolist() == [11]
    assert chart.share[10] == pytest.approx(0.181818, abs=5e-7)
    assert chart.high[10] == pytest.approx(0.179582, abs=5e-7)
    rows = zip(given.PURCHASE_SIZES, chart.low, chart.high, strict=True)
    ends = {n: (low, high) for n, low, high in rows}
    assert ends[80] == pytest.approx((0.0, 0.1941), abs=5e-5)
    assert ends[100] == pytest.approx((0.0073, 0.1837), abs=5e-5)
    assert ends[120] == pytest.approx((0.0150, 0.1760), abs=5e-5)


def test_nist_moving_average() -> None:
    """S-K3: all values to two decimals, limits 52.5884 and 47.4115 (6.3.2.4; FOUND quoted)."""
    average = charts.ewma(given.NIST_EWMA, 0.3, start=50.0)
    assert average == pytest.approx(given.NIST_EWMA_ANSWERS, abs=5.1e-3)
    half = 3 * charts.ewma_sd(400, 0.3, 2.0539)[-1]
    assert (50 + half, 50 - half) == pytest.approx((52.5884, 47.4115), abs=1e-3)
    assert np.all(np.abs(average - 50) < half)


def test_nist_cumulative_sum() -> None:
    """S-K4: signals from group 14 on, sums to two decimals (6.3.2.3; limits MEM, sums MEM+)."""
    chart = charts.cusum(given.NIST_CUSUM, 325.0, 0.3175, 4.1959)
    assert (np.flatnonzero(chart.is_out) + 1).tolist() == list(range(14, 21))
    last = [3.01, 4.94, 7.45, 10.63, 11.99, 14.44, 16.00, 19.04]
    assert chart.high[-8:] == pytest.approx(last, abs=5.1e-3)
    assert chart.low.max() == pytest.approx(0.72, abs=1e-2)
    assert chart.low.argmax() + 1 == 8


def test_montgomery_cumulative_sum() -> None:
    """S-K5: first signal at 29 with 5.28 after seven points: the shift came after 22 (MEM+)."""
    chart = charts.cusum(given.MONTGOMERY_CUSUM, 10.0, 0.5, 5.0)
    assert np.flatnonzero(chart.is_out)[0] + 1 == 29
    assert chart.high[28:] == pytest.approx([5.28, 5.30], abs=5e-3)
    assert chart.high_run[28] == 7
    assert chart.onset(28) == 22  # the 23rd point


def test_montgomery_moving_average() -> None:
    """S-K5: weight 0.1, width 2.7 on the same readings; signals at 29 as well (MEM+)."""
    average = charts.ewma(given.MONTGOMERY_CUSUM, 0.1, start=10.0)
    assert average[:2] == pytest.approx([9.945, 9.7495], abs=1e-9)
    out = np.abs(average - 10) > 2.7 * charts.ewma_sd(30, 0.1)
    assert np.flatnonzero(out)[0] + 1 == 29
    assert average[28] == pytest.approx(10.64682, abs=5e-6)


SHIFTS = (0.0, 0.25, 0.5, 0.75, 1.0, 1.5, 2.0)


@pytest.mark.parametrize(
    ("decision", "lengths", "printed"),
    [
        (
            4.0,
            (167.6837888, 74.2240279, 26.6302031, 13.2850884, 8.3831319, 4.7471682, 3.3427701),
            (168, 74.2, 26.6, 13.3, 8.38, 4.75, 3.34),
        ),
        (
            5.0,
            (465.443506, 139.4936898, 37.9961432, 17.0483260, 10.3759699, 5.7472177, 4.0088711),
            (465, 139, 38.0, 17.0, 10.4, 5.75, 4.01),
        ),
    ],
)
def test_run_lengths_of_cumulative_sums(
    decision: float, lengths: tuple[float, ...], printed: tuple[float, ...]
) -> None:
    """S-K6: R package spc to 1e-7 (RUN-R); Montgomery, table 9.3, as printed (MEM+)."""
    found = [cusum_run_length(0.5, decision, shift) for shift in SHIFTS]
    assert found == pytest.approx(lengths, rel=1e-7)
    assert found == pytest.approx(printed, rel=5e-3)


@pytest.mark.parametrize(
    ("width", "weight", "length"),
    [
        (3.054, 0.4, 499.951),
        (2.998, 0.25, 499.836),
        (2.962, 0.2, 499.735),
        (2.814, 0.1, 499.580),
        (2.615, 0.05, 499.933),
    ],
)
def test_run_lengths_of_moving_averages(width: float, weight: float, length: float) -> None:
    """S-K6: R package spc (RUN-R); designs for 500 of Lucas, Saccucci 1990 (MEM+)."""
    assert ewma_run_length(weight, width) == pytest.approx(length, abs=6e-4)


def test_run_length_by_trying_it() -> None:
    """Counted on 4,000 simulated charts: within four standard errors of the equation's answer."""
    rng = np.random.default_rng(11)
    lengths = []
    for _ in range(4000):
        chart = charts.cusum(rng.normal(1.0, 1.0, 200), 0.0, 0.5, 4.0)
        lengths.append(np.flatnonzero(chart.is_out)[0] + 1)
    error = np.std(lengths) / np.sqrt(len(lengths))
    assert np.mean(lengths) == pytest.approx(cusum_run_length(0.5, 4.0, 1.0), abs=4 * error)


def test_gaps_are_passed_over() -> None:
    values = np.array([1.0, np.nan, 2.0])
    assert charts.ewma(values, 0.5).tolist() == [0.5, 0.5, 1.25]
    assert charts.cusum(values, 0.0, 0.5, 9.0).high.tolist() == [0.5, 0.5, 2.0]
    assert charts.share_chart([1, 0], [4, 0]).is_out.tolist() == [False, False]


def test_what_cannot_be_charted_is_refused() -> None:
    with pytest.raises(NotEnoughDataError):
        charts.share_chart([0], [0])
    with pytest.raises(UsageError):
        charts.ewma([1.0], 0.0)
    with pytest.raises(UsageError):
        charts.cusum([1.0], 0.0, 0.5, 0.0)
    with pytest.raises(UsageError):
        cusum_run_length(0.5, 0.0)
    with pytest.raises(UsageError):
        ewma_run_length(0.2, 0.0)
