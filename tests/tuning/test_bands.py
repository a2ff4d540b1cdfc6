"""Kinds of readings, by evidence and load: those of few examined joined, on counts made by hand."""

from __future__ import annotations

import numpy as np
import pytest

from analytics.tuning.bands import LEAST_EXAMINED, joined, joined_sides, split


@pytest.mark.parametrize(
    ("examined", "labels"),
    [((80, 10, 70), [0, 1, 2]), ((80, 9, 70), [0, 1, 1]), ((80, 30, 4), [0, 1, 1])],
)
def test_bands_with_few_examined_join_the_next_lower(
    examined: tuple[int, int, int], labels: list[int]
) -> None:
    assert LEAST_EXAMINED == 10
    assert joined(np.array([1, -2, -6]), np.array(examined, float)).tolist() == labels


def test_loads_are_parted_within_a_kind_only() -> None:
    """Of kind 0 the loads 6 and 4 have 12 and 30 examined, 1 has 3; kind 1 has too few of any."""
    kind, load = np.array([0, 0, 0, 1, 1]), np.array([6, 4, 1, 6, 1])
    found = split(kind, load, np.array([12.0, 30, 3, 4, 5]))
    assert found.tolist() == [0, 1, 1, 2, 2]


def test_the_flagged_never_stand_for_the_rest() -> None:
    flagged = np.array([True, False, False, True])
    band, load = np.array([0, 0, -3, -3]), np.full(4, 4)
    found = joined_sides(flagged, band, load, np.array([1.0, 20, 20, 1]))
    assert len(set(found[flagged]) & set(found[~flagged])) == 0
    assert found[0] == found[3]
    assert found[1] != found[2]
