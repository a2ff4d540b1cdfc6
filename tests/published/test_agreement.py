"""Agreement of inspectors against the worked example of AIAG and a closed form."""

from __future__ import annotations

import numpy as np
import pytest

from analytics.errors import NotEnoughDataError, UsageError
from analytics.statistics.agreement import by_ranges, by_variances, variance_table

CUBE = np.array(
    [
        *(0.29, -0.56, 1.34, 0.47, -0.80, 0.02, 0.59, -0.31, 2.26, -1.36),
        *(0.41, -0.68, 1.17, 0.50, -0.92, -0.11, 0.75, -0.20, 1.99, -1.25),
        *(0.64, -0.58, 1.27, 0.64, -0.84, -0.21, 0.66, -0.17, 2.01, -1.31),
        *(0.08, -0.47, 1.19, 0.01, -0.56, -0.20, 0.47, -0.63, 1.80, -1.68),
        *(0.25, -1.22, 0.94, 1.03, -1.20, 0.22, 0.55, 0.08, 2.12, -1.62),
        *(0.07, -0.68, 1.34, 0.20, -1.28, 0.06, 0.83, -0.34, 2.19, -1.50),
        *(0.04, -1.38, 0.88, 0.14, -1.46, -0.29, 0.02, -0.46, 1.77, -1.49),
        *(-0.11, -1.13, 1.09, 0.20, -1.07, -0.67, 0.01, -0.56, 1.45, -1.77),
        *(-0.15, -0.96, 0.67, 0.11, -1.45, -0.49, 0.21, -0.49, 1.87, -2.16),
    ]
).reshape(3, 3, 10)
"""Three appraisers, three trials, ten parts: AIAG, Measurement Systems Analysis (from memory)."""


def test_method_of_ranges() -> None:
    # Published .20188, .22963, .30575, 1.10456, 1.14610, 26.68 %, 5 groups (from memory): the
    # source rounds its constants to four digits, which moves the spread of parts by 1.4e-4.
    found = by_ranges(CUBE)
    assert found.repeat == pytest.approx(0.2018567, abs=6e-5)
    assert found.inspector == pytest.approx(0.2296670, abs=6e-5)
    assert found.measuring == pytest.approx(0.3057663, abs=6e-5)
    assert found.device == pytest.approx(1.1045956, abs=2e-4)
    assert found.total == pytest.approx(1.1461345, abs=2e-4)
    assert found.measuring_share == pytest.approx(0.26678, abs=6e-5)
    assert int(found.categories) == 5


def test_analysis_of_variance() -> None:
    # Published 3.1673, 88.3619, .3590, 2.7589, 94.6471, F 34.44 and 213.52, .434 (from memory,
    # recomputed in another program).
    table = variance_table(CUBE)
    expected = (88.3619344, 3.1672622, 0.3589822, 2.7589333)
    assert table.squares == pytest.approx(expected, abs=5e-8)
    assert table.total_squares == pytest.approx(94.6471122, abs=5e-8)
    assert table.f_inspector == pytest.approx(34.44, abs=5e-3)
    assert table.f_device == pytest.approx(213.52, abs=5e-3)
    assert table.f_interaction == pytest.approx(0.434, abs=5e-4)
    assert table.interaction_variance == pytest.approx(-0.0086796, abs=5e-8)


def test_a_negative_interaction_is_pooled() -> None:
    # Published .199933, .226838, .302373, 1.042327, 27.86 %, 4.86 groups (from memory).
    found = by_variances(CUBE)
    assert found.interaction == 0.0
    spreads = (found.repeat, found.inspector, found.measuring, found.device)
    assert spreads == pytest.approx((0.1999332, 0.2268375, 0.3023715, 1.0423275), abs=5e-8)
    assert found.measuring_share == pytest.approx(0.2786, abs=5e-5)
    assert found.categories == pytest.approx(4.86, abs=5e-3)


def test_a_real_interaction_is_kept() -> None:
    # Planted: inspectors differ by device with spread 1, repeats with 0.1; closed-form means.
    rng = np.random.default_rng(6)
    both = rng.normal(0, 1.0, (8, 1, 30))
    cube = rng.normal(0, 3.0, 30) + both + rng.normal(0, 0.1, (8, 4, 30))
    found = by_variances(cube)
    assert found.interaction == pytest.approx(1.0, abs=0.15)
    assert found.repeat == pytest.approx(0.1, abs=0.01)
    assert found.device == pytest.approx(3.0, abs=1.0)
    assert found.inspector < 0.3


def test_uneven_readings_are_refused() -> None:
    with pytest.raises(UsageError, match="two of each"):
        by_variances(CUBE[:, :1])
    holed = CUBE.copy()
    holed[1, 1, 1] = np.nan
    with pytest.raises(NotEnoughDataError, match="alike often"):
        by_ranges(holed)
    with pytest.raises(UsageError, match="2–10"):
        by_ranges(np.concatenate([CUBE, CUBE], axis=2))
