"""What no robust weight can take out: a disturbance that whole blocks of readings share."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analytics.errors import NotEnoughDataError
from analytics.notices import Notice
from analytics.statistics.sourced import Array, Numbers, numbers

MAD_CONSTANT = 0.6745
"""Median absolute residual of a standard normal [1]; Hampel 1974."""
TUNING = 4.685
"""Where Tukey's bisquare reaches nil [1]; 95 % efficient (Holland & Welsch 1977)."""
LEAST_CHANCE = 1e-3
"""Chance of blocks as unlike below which they are [1]; chosen: one false alarm in a thousand."""


@dataclass(frozen=True)
class Disturbance:
    """What stands out from a fit, and what its blocks share.

    `farthest` reading [spreads], `dropped` by a bisquare, `shared` part of the residuals' variance
    [1] and the `chance` of as much by accident [1].
    """

    rows: int
    blocks: int
    farthest: float
    dropped: int
    shared: float
    chance: float

    @property
    def is_beyond_robust(self) -> bool:
        """Whether blocks are unlike while no reading stands out from the others."""
        return self.dropped == 0 and self.chance < LEAST_CHANCE

    @property
    def sentence(self) -> str:
        """The finding in one plain sentence."""
        if not self.is_beyond_robust:
            return (
                f"Of {self.rows} readings {self.dropped} stand out; their blocks share "
                f"{100 * self.shared:.0f} % of what the fit leaves."
            )
        return (
            f"No reading of {self.rows} stands out (the farthest lies {self.farthest:.1f} spreads "
            f"off), yet their blocks share {100 * self.shared:.0f} % of what the fit leaves: no "
            "robust fit can take that out, and every interval is too narrow."
        )

    def notices(self) -> tuple[Notice, ...]:
        """Return the notice to print beside the fit, or none."""
        if not self.is_beyond_robust:
            return ()
        data = {"blocks": self.blocks, "farthest": self.farthest, "shared": self.shared}
        return (Notice("shared_disturbance", self.sentence, data),)


def shared_disturbance(residual: Numbers, block: npt.ArrayLike) -> Disturbance:
    """Tell whether what a fit leaves is shared by blocks, out of reach of robust weights.

    Takes the residuals of a fit [any unit] and the block each belongs to (a day, a visit, a
    camera), shapes (rows,). Robust weights act on single readings that lie far from the rest; where
    a whole block is off, the spread grows with it and nothing is far. Weather and lag do this as
    well as contamination: it says that something is shared, not what.

    Formula: between blocks, (MSB - MSW) / (MSB + (m - 1) MSW), m the blocks' usual size, with the
    F test of a one-way analysis of variance. Raises NotEnoughDataError where there are not two
    blocks and three rows more than blocks.
    Source: R. A. Fisher, Statistical Methods for Research Workers (1925), ch. 7.

    >>> found = shared_disturbance([2.0, 1.0, 3.0, -2.0, -1.0, -3.0], list("aaabbb"))
    >>> round(found.shared, 2), found.dropped
    (0.88, 0)
    """
    from scipy.special import fdtrc

    values = numbers(residual)
    _, at, counts = np.unique(np.asarray(block), return_inverse=True, return_counts=True)
    rows, blocks = len(at), len(counts)
    if blocks < 2 or rows < blocks + 3 or values.shape != at.shape:
        words = f"{blocks} block{'s' if blocks > 1 else ''} of {rows} readings"
        raise NotEnoughDataError(f"{words} says nothing of what blocks share.")
    between, within = _mean_squares(values, at, counts)
    size = (rows - float(np.sum(counts**2)) / rows) / (blocks - 1)
    apart = np.abs(values) / (np.median(np.abs(values)) / MAD_CONSTANT)
    return Disturbance(
        rows,
        blocks,
        float(apart.max()),
        int(np.sum(apart >= TUNING)),
        max((between - within) / (between + (size - 1) * within), 0.0),
        float(fdtrc(blocks - 1, rows - blocks, between / within)),
    )


def _mean_squares(
    values: Array, at: npt.NDArray[np.intp], counts: npt.NDArray[np.signedinteger]
) -> tuple[float, float]:
    means = np.bincount(at, weights=values) / counts
    between = float(np.sum(counts * (means - values.mean()) ** 2)) / (len(counts) - 1)
    within = float(np.sum((values - means[at]) ** 2)) / (len(values) - len(counts))
    return between, within
