"""A number from outside the project: value, unit, source and how well it is known."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Numbers = npt.ArrayLike
"""What the pure functions take: a number or an array of any shape."""

Known = Literal["published", "from memory", "derived", "common practice", "chosen"]


@dataclass(frozen=True)
class Sourced:
    """One value with its unit and where it comes from; `known` says how far to trust it."""

    value: float
    unit: str
    source: str
    known: Known = "published"


def numbers(values: Numbers) -> Array:
    """Return the values as an array of floats, whatever their shape."""
    return np.asarray(values, dtype=np.float64)
