"""Anderson's acceleration of a fixed-point iteration whose parameters fit in one small vector."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass
class Anderson:
    """Memory of the last `depth` steps; proposes the next point from them.

    Backfitting creeps where two factors share a direction (a panel's floor and its own effect);
    combining the last few steps so that their residual is least squares jumps along it. Not to be
    trusted while the map itself still changes (spread, variances): call `forget` then.
    Source: Anderson 1965; Walker & Ni, SIAM J. Numer. Anal. 49 (2011), type II with damping 1.
    """

    depth: int = 5
    points: list[Array] = field(default_factory=list)
    images: list[Array] = field(default_factory=list)

    def forget(self) -> None:
        """Drop the memory."""
        self.points.clear()
        self.images.clear()

    def propose(self, point: Array, image: Array) -> Array:
        """Return the next point, given that the map takes `point` to `image`; shapes (k,).

        >>> import numpy as np
        >>> turn = Anderson()
        >>> x = np.array([0.0])
        >>> for _ in range(3):
        ...     x = turn.propose(x, 0.9 * x + 1.0)
        >>> round(float(x[0]), 6)
        10.0
        """
        self.points = [*self.points, point.copy()][-self.depth - 1 :]
        self.images = [*self.images, image.copy()][-self.depth - 1 :]
        if len(self.points) < 2:
            return image
        residuals = np.array(self.images) - np.array(self.points)
        steps = np.diff(residuals, axis=0).T
        moves = np.diff(np.array(self.images), axis=0).T
        weights, *_ = np.linalg.lstsq(steps, residuals[-1], rcond=1e-10)
        proposal: Array = image - moves @ weights
        return proposal
