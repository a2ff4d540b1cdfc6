"""The exponent of a rise against load, by profile likelihood: y = a + b·xⁿ, or without a."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from analytics.errors import NotConvergedError, NotEnoughDataError, UsageError
from analytics.statistics.sourced import Array, Numbers, numbers

EXPONENT_BOUNDS = (0.2, 8.0)
"""Where the exponent is sought [1]; chosen: far outside of what heat balance gives (1.5 to 2)."""
_TIGHT = 1e-10
"""Where the simplex search stops [1]; chosen: far below what the data can tell."""
_GRID = 79
"""Points of the first look over the bounds; chosen: steps of 0.1."""


@dataclass(frozen=True)
class ProfilePoint:
    """One exponent tried [1] and the weighted sum of squares left there."""

    exponent: float
    square_sum: float


@dataclass(frozen=True)
class PowerLaw:
    """Offset and gain [unit of y], exponent [1], and 95 % (or other) intervals of the exponent.

    `interval_f` holds for normal errors of unknown size in small samples, `interval_chi2` in large
    ones. An infinite end means that the data do not bound the exponent there.
    """

    offset: float
    gain: float
    exponent: float
    gain_error: float
    exponent_error: float
    square_sum: float
    spread: float
    interval_f: tuple[float, float]
    interval_chi2: tuple[float, float]
    rows: int
    history: tuple[ProfilePoint, ...]

    @property
    def sentence(self) -> str:
        """The fit in one plain sentence."""
        low, high = self.interval_f
        return (
            f"The rise goes with load to the power {self.exponent:.2f} "
            f"({low:.2f} to {high:.2f}), from {self.rows} readings."
        )


@dataclass(frozen=True)
class SpreadPowerLaw:
    """y = gain · x^exponent with standard deviation spread · (fitted value)^spread_power."""

    gain: float
    exponent: float
    spread_power: float
    spread: float
    log_likelihood: float
    rows: int


@dataclass(frozen=True)
class _Data:
    x: Array
    y: Array
    weight: Array
    has_offset: bool

    @property
    def parameters(self) -> int:
        return 3 if self.has_offset else 2

    def line(self, exponent: float) -> tuple[float, float, Array]:
        """Return offset, gain and residuals of the best line in x^exponent."""
        z, w = self.x**exponent, self.weight
        mean_z = np.sum(w * z) / np.sum(w) if self.has_offset else 0.0
        mean_y = np.sum(w * self.y) / np.sum(w) if self.has_offset else 0.0
        apart = z - mean_z
        gain = np.sum(w * apart * (self.y - mean_y)) / np.sum(w * apart**2)
        residual = (self.y - mean_y) - gain * apart
        return float(mean_y - gain * mean_z), float(gain), residual

    def square_sum(self, exponent: float) -> float:
        return float(np.sum(self.weight * self.line(exponent)[2] ** 2))

    def slope(self, exponent: float) -> float:
        """Return the derivative of the square sum, by the envelope theorem."""
        _, gain, residual = self.line(exponent)
        return float(-2 * gain * np.sum(self.weight * residual * self.by_exponent(exponent)))

    def by_exponent(self, exponent: float) -> Array:
        return np.asarray(self.x**exponent * np.log(np.where(self.x > 0, self.x, 1.0)))


def fit_power_law(
    x: Numbers,
    y: Numbers,
    *,
    weights: Numbers = 1.0,
    has_offset: bool = True,
    bounds: tuple[float, float] = EXPONENT_BOUNDS,
    confidence: float = 0.95,
) -> PowerLaw:
    """Fit y = a + b·xⁿ by least squares, n by its profile, with intervals for n.

    Takes load x [1], not negative, and y [any unit], shapes (rows,); `weights` [1/variance, up to
    a factor] where the shape of the variance is known; `has_offset` False drops a. Rows must be
    independent: lag and shared panels make the intervals too narrow. One bad row moves it freely,
    so weigh such rows down first.

    Returns a frozen record with the exponents tried. Raises UsageError (shapes, negative or missing
    numbers), NotEnoughDataError (too few rows, load that does not vary), NotConvergedError where
    the best exponent lies at a bound: then the model does not fit.
    Source: D. M. Bates, D. G. Watts, Nonlinear Regression Analysis (1988), ch. 6.

    >>> fit = fit_power_law([1, 2, 3, 4], [3.0, 9.1, 18.9, 33.0], has_offset=True)
    >>> round(fit.exponent, 2)
    2.01
    """
    from scipy.optimize import brentq

    data = _checked(x, y, weights, has_offset)
    history = [ProfilePoint(float(n), data.square_sum(n)) for n in np.linspace(*bounds, _GRID)]
    low, high = _bracket(history)
    best = float(brentq(data.slope, low, high, xtol=1e-13, rtol=1e-14))
    history.append(ProfilePoint(best, data.square_sum(best)))
    offset, gain, _ = data.line(best)
    least, free = history[-1].square_sum, len(data.y) - data.parameters
    f_level, chi2_level = _levels(least, len(data.y), free, confidence)
    spread = (least / free) ** 0.5
    gain_error, exponent_error = _errors(data, best, gain, spread)
    return PowerLaw(
        offset,
        gain,
        best,
        gain_error,
        exponent_error,
        least,
        spread,
        _interval(data.square_sum, best, f_level, bounds),
        _interval(data.square_sum, best, chi2_level, bounds),
        len(data.y),
        tuple(history),
    )


def _checked(x: Numbers, y: Numbers, weights: Numbers, has_offset: bool) -> _Data:
    load, rise = numbers(x), numbers(y)
    if load.ndim != 1 or load.shape != rise.shape:
        raise UsageError(f"Load and rise differ in shape: {load.shape} and {rise.shape}.")
    weight = np.broadcast_to(numbers(weights), load.shape)
    finite = np.isfinite(load) & np.isfinite(rise) & np.isfinite(weight)
    if not finite.all() or np.any(load < 0) or np.any(weight < 0):
        raise UsageError("Load, rise and weights must be finite, load and weights not negative.")
    needed = 4 if has_offset else 3
    distinct = len(np.unique(load[(load > 0) & (weight > 0)]))
    if np.sum(weight > 0) < needed or distinct < 2:
        raise NotEnoughDataError(
            f"{len(load)} readings at {distinct} different loads do not give an exponent.",
            f"At least {needed} readings and two loads are needed.",
        )
    return _Data(load, rise, weight, has_offset)


def _bracket(history: list[ProfilePoint]) -> tuple[float, float]:
    at = int(np.argmin([point.square_sum for point in history]))
    if at in (0, len(history) - 1):
        raise NotConvergedError(
            f"The best exponent lies at the bound {history[at].exponent:g} of the search.",
            "The rise does not follow load to a power: look for a fan, a limit or a wrong rating.",
            tuple(history),
        )
    return history[at - 1].exponent, history[at + 1].exponent


def _levels(least: float, rows: int, free: int, confidence: float) -> tuple[float, float]:
    from scipy.special import chdtri, fdtri

    by_f = least * (1 + float(fdtri(1, free, confidence)) / free)
    return by_f, least * float(np.exp(chdtri(1, 1 - confidence) / rows))


def _errors(data: _Data, exponent: float, gain: float, spread: float) -> tuple[float, float]:
    columns = [data.x**exponent, gain * data.by_exponent(exponent)]
    if data.has_offset:
        columns.append(np.ones_like(data.x))
    design = np.column_stack(columns) * np.sqrt(data.weight)[:, None]
    triangle = np.linalg.inv(np.linalg.qr(design, mode="r"))
    errors = spread * np.sqrt(np.sum(triangle**2, axis=1))
    return float(errors[0]), float(errors[1])


def _interval(
    square_sum: Callable[[float], float], best: float, level: float, bounds: tuple[float, float]
) -> tuple[float, float]:
    """Return where the square sum crosses a level on either side; infinite where it does not."""
    from scipy.optimize import brentq

    def over(exponent: float) -> float:
        return square_sum(exponent) - level

    ends = []
    for bound, beyond in zip(bounds, (-np.inf, np.inf), strict=True):
        steps = np.linspace(best, bound, 41)
        crossed = [i for i in range(1, len(steps)) if over(float(steps[i])) > 0]
        ends.append(
            float(brentq(over, float(steps[crossed[0] - 1]), float(steps[crossed[0]]), xtol=1e-12))
            if crossed
            else float(beyond)
        )
    return ends[0], ends[1]


def fit_with_spread(x: Numbers, y: Numbers) -> SpreadPowerLaw:
    """Fit y = b·xⁿ whose standard deviation is a power of the fitted value, by full likelihood.

    Takes load x [1], over 0, and y [any unit], shapes (rows,). Needs rows of clean data and a wide
    span of loads. Since b·xⁿ to a power is itself a power of x, only two numbers are searched.
    Raises as `fit_power_law`. Source: R. J. Carroll, D. Ruppert, Transformation and Weighting in
    Regression (1988), ch. 3.

    >>> fit = fit_with_spread([1, 2, 3, 4, 5, 6], [1.1, 3.8, 9.5, 15.0, 27.0, 34.0])
    >>> round(fit.exponent, 1)
    1.9
    """
    from scipy.optimize import minimize

    data = _checked(x, y, 1.0, has_offset=False)
    if np.any(data.x <= 0):
        raise UsageError("Every load must be over 0 here.")
    log_x, rows = np.log(data.x), len(data.y)

    def parts(point: Array) -> tuple[float, float]:
        weighted = _Data(data.x, data.y, data.x ** (-2 * point[1]), has_offset=False)
        _, gain, residual = weighted.line(float(point[0]))
        return gain, float(np.sum(weighted.weight * residual**2)) / rows

    def loss(point: Array) -> float:
        variance = parts(point)[1]
        return float(rows / 2 * (np.log(2 * np.pi * variance) + 1) + point[1] * log_x.sum())

    start = fit_power_law(data.x, data.y, has_offset=False).exponent
    found = minimize(
        loss,
        np.array([start, start / 2]),
        method="Nelder-Mead",
        options={"xatol": _TIGHT, "fatol": _TIGHT, "maxiter": 4000, "maxfev": 8000},
    )
    if not found.success:
        raise NotConvergedError(f"The likelihood was not maximised: {found.message}")
    (exponent, power_of_x), (gain, variance) = found.x.tolist(), parts(found.x)
    power = power_of_x / exponent
    return SpreadPowerLaw(
        gain, exponent, power, variance**0.5 / gain**power, -float(found.fun), rows
    )
