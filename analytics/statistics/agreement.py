"""How far inspectors agree on the same panels: repeatability and reproducibility of a reading."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from analytics.errors import NotEnoughDataError, UsageError
from analytics.statistics.sourced import Array, Numbers, numbers

POOLING_CHANCE = 0.25
"""The interaction is pooled with the repeats when such an F is at least this likely by chance [1];
AIAG, Measurement Systems Analysis (from memory)."""
CATEGORY_FACTOR = 1.41
"""Spreads that two parts must lie apart to be told apart [1]; AIAG (from memory)."""
MEAN_RANGE = {
    (2, 1): 1.41421,
    (3, 1): 1.91155,
    (4, 1): 2.23887,
    (5, 1): 2.48124,
    (6, 1): 2.67253,
    (7, 1): 2.82981,
    (8, 1): 2.96288,
    (9, 1): 3.07794,
    (10, 1): 3.17905,
}
"""Mean of the root mean square range of one sample of that size, in spreads [1]: d2*, from memory;
A. J. Duncan, Quality Control and Industrial Statistics (1986)."""
PLAIN_RANGE = {2: 1.12838, 3: 1.69257, 4: 2.05875, 5: 2.32593}
"""Mean range of samples of that size, in spreads [1]: d2, many samples."""


@dataclass(frozen=True)
class Agreement:
    """Spreads in the unit of the readings, one standard deviation each.

    `repeat` of the same inspector on the same device, `inspector` between inspectors,
    `interaction` of inspectors who differ by device, `device` between devices.
    """

    repeat: float
    inspector: float
    interaction: float
    device: float

    @property
    def measuring(self) -> float:
        """Spread of the measuring as a whole."""
        return float(np.sqrt(self.repeat**2 + self.inspector**2 + self.interaction**2))

    @property
    def total(self) -> float:
        """Spread of readings, devices and measuring together."""
        return float(np.hypot(self.measuring, self.device))

    @property
    def measuring_share(self) -> float:
        """Spread of the measuring over the total spread [1]; shares of spreads do not add up.

        NaN where nothing differs at all.
        """
        return self.measuring / self.total if self.total > 0 else math.nan

    @property
    def categories(self) -> float:
        """How many groups of devices the measuring can tell apart [1].

        NaN where all repeats agree: then they were read too coarsely to tell.
        """
        return CATEGORY_FACTOR * self.device / self.measuring if self.measuring > 0 else math.nan


@dataclass(frozen=True)
class VarianceTable:
    """Sums of squares, degrees of freedom and F by source: device, inspector, both, repeat."""

    squares: tuple[float, float, float, float]
    freedom: tuple[int, int, int, int]
    f_device: float
    f_inspector: float
    f_interaction: float
    interaction_chance: float
    interaction_variance: float
    """As estimated, before it is clipped: below nil where inspectors agree by device."""

    @property
    def total_squares(self) -> float:
        """Sum of squares about the mean."""
        return sum(self.squares)


def by_ranges(readings: Numbers) -> Agreement:
    """Return the spreads by the method of ranges; the interaction is not looked at.

    Takes readings of shape (inspectors, repeats, devices), every device read alike often by all;
    2 or 3 inspectors, 2 to 5 repeats, 2 to 10 devices. Coarser than `by_variances`.
    Raises UsageError for another shape or missing readings.
    Source: AIAG, Measurement Systems Analysis, 4th ed. (from memory): average and range method.

    >>> by_ranges([[[1.0, 5.0], [1.2, 5.2]], [[1.1, 5.1], [1.3, 5.3]]]).repeat.__round__(3)
    0.177
    """
    cube = _checked(readings)
    people, repeats, devices = cube.shape
    if (
        repeats not in PLAIN_RANGE
        or (people, 1) not in MEAN_RANGE
        or (devices, 1) not in MEAN_RANGE
    ):
        raise UsageError("The method of ranges knows 2–5 repeats and 2–10 inspectors and devices.")
    mean_range = float(np.ptp(cube, axis=1).mean())
    repeat = mean_range / PLAIN_RANGE[repeats]
    between = float(np.ptp(cube.mean(axis=(1, 2)))) / MEAN_RANGE[people, 1]
    inspector = float(np.sqrt(max(between**2 - repeat**2 / (devices * repeats), 0.0)))
    device = float(np.ptp(cube.mean(axis=(0, 1)))) / MEAN_RANGE[devices, 1]
    return Agreement(repeat, inspector, 0.0, device)


def variance_table(readings: Numbers) -> VarianceTable:
    """Return the two-way analysis of variance, F against the repeats, interaction against them too.

    Takes and raises as `by_ranges`, for any number of inspectors, repeats and devices from two up.
    Source: AIAG (from memory), which sets all three F against the repeats.

    >>> variance_table([[[1.0, 5.0], [1.2, 5.2]], [[1.1, 5.1], [1.3, 5.3]]]).freedom
    (1, 1, 1, 4)
    """
    from scipy.special import fdtrc

    cube = _checked(readings)
    people, repeats, devices = cube.shape
    mean, cell = cube.mean(), cube.mean(axis=1)
    device = people * repeats * float(np.sum((cube.mean(axis=(0, 1)) - mean) ** 2))
    person = devices * repeats * float(np.sum((cube.mean(axis=(1, 2)) - mean) ** 2))
    both = repeats * float(np.sum((cell - mean) ** 2)) - device - person
    within = float(np.sum((cube - cell[:, None, :]) ** 2))
    freedom = (
        devices - 1,
        people - 1,
        (devices - 1) * (people - 1),
        people * devices * (repeats - 1),
    )
    squares = (device, person, both, within)
    mean_device, mean_person, mean_both, mean_within = (
        s / f for s, f in zip(squares, freedom, strict=True)
    )
    f_both = _over(mean_both, mean_within)
    return VarianceTable(
        squares,
        freedom,
        _over(mean_device, mean_within),
        _over(mean_person, mean_within),
        f_both,
        float(fdtrc(freedom[2], freedom[3], max(f_both, 0.0))) if np.isfinite(f_both) else 0.0,
        (mean_both - mean_within) / repeats,
    )


def by_variances(readings: Numbers) -> Agreement:
    """Return the spreads by analysis of variance; a variance below nil counts as nil.

    Where inspectors do not differ by device, that part is pooled with the repeats. Takes and raises
    as `variance_table`. Source: as `variance_table`.

    >>> by_variances([[[1.0, 5.0], [1.2, 5.2]], [[1.1, 5.1], [1.3, 5.3]]]).interaction
    0.0
    """
    people, repeats, devices = _checked(readings).shape
    table = variance_table(readings)
    device, person, both, within = table.squares
    is_pooled = table.interaction_chance >= POOLING_CHANCE or table.interaction_variance <= 0
    error = within / table.freedom[3]
    against = both / table.freedom[2]
    if is_pooled:
        error = against = (both + within) / (table.freedom[2] + table.freedom[3])
    inspector = (person / table.freedom[1] - against) / (devices * repeats)
    part = (device / table.freedom[0] - against) / (people * repeats)
    interaction = 0.0 if is_pooled else table.interaction_variance
    return Agreement(*(float(np.sqrt(max(v, 0.0))) for v in (error, inspector, interaction, part)))


def _over(top: float, bottom: float) -> float:
    return top / bottom if bottom > 0 else float("inf")


def _checked(readings: Numbers) -> Array:
    cube = numbers(readings)
    if cube.ndim != 3 or min(cube.shape) < 2:
        raise UsageError(
            "Readings are wanted by inspector, repeat and device, two of each at least."
        )
    if np.any(np.isnan(cube)):
        raise NotEnoughDataError("A device was not read alike often by every inspector.")
    return cube
