"""A number from outside the project: value, unit, source and how well it is known."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from analytics.statistics.figures import Known, Sourced

__all__ = ["Array", "Known", "Numbers", "Sourced", "numbers"]

Array = npt.NDArray[np.float64]
Numbers = npt.ArrayLike
"""What the pure functions take: a number or an array of any shape."""


def numbers(values: Numbers) -> Array:
    """Return the values as an array of floats, whatever their shape."""
    return np.asarray(values, dtype=np.float64)
