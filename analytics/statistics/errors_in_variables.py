"""Lines through readings whose load is uncertain too: attenuation, and how to undo it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from analytics.errors import NotConvergedError, NotEnoughDataError, UsageError
from analytics.statistics.sourced import Array, Numbers, numbers

_MOST_STEPS = 200
_TIGHT = 1e-14
"""Steps before it counts as not converging, and relative change that ends them [1]; chosen."""


@dataclass(frozen=True)
class ErrorsLine:
    """y = intercept + slope · x with standard errors, x cleared of its own error.

    `reliability` [1] is the share of the variance of x that is not error; a plain least-squares
    slope is too flat by it. `square_sum` is what the fit leaves [1] where both errors are known.
    """

    intercept: float
    slope: float
    intercept_error: float
    slope_error: float
    reliability: float
    square_sum: float
    rows: int


def reliability(x: Numbers, error_variance: Numbers) -> float:
    """Return the share of the variance of x [1] that is no error of measurement.

    Takes readings [any unit] and the variance of each one's error [unit²], a number or shape
    (rows,). Raises NotEnoughDataError with fewer than three rows or where error is all there is.
    Source: W. A. Fuller, Measurement Error Models (1987), 1.1.

    >>> round(reliability([1.0, 2.0, 3.0], 0.25), 2)
    0.75
    """
    readings = numbers(x)
    if readings.ndim != 1 or len(readings) < 3:
        raise NotEnoughDataError("Three readings are needed for a reliability.")
    whole = float(np.var(readings, ddof=1))
    error = float(np.mean(np.broadcast_to(numbers(error_variance), readings.shape)))
    if not whole > error >= 0:
        raise NotEnoughDataError("The readings vary by no more than their own error.")
    return 1.0 - error / whole


def corrected_line(x: Numbers, y: Numbers, error_variance: Numbers) -> ErrorsLine:
    """Fit a line whose slope is cleared of the attenuation by errors of known variance in x.

    Takes x [any unit], y [any unit], shapes (rows,), and the variance of the error of x [unit²], a
    number or shape (rows,); the errors must not go with x, y or one another. Standard errors are
    for large samples and take the error variance as exact.

    Formula: slope = m_xy / (m_xx - error variance); reliability = 1 - error variance / m_xx.
    Raises UsageError for shapes that differ, else as `reliability`.
    Source: W. A. Fuller, Measurement Error Models (1987), 1.2.

    >>> line = corrected_line([1.0, 2.0, 3.0, 4.0], [2.0, 4.0, 6.0, 8.0], 0.0)
    >>> round(line.slope, 9), line.reliability
    (2.0, 1.0)
    """
    load, rise = numbers(x), numbers(y)
    if load.shape != rise.shape:
        raise UsageError(f"x and y differ in shape: {load.shape} and {rise.shape}.")
    trusted, rows = reliability(load, error_variance), len(load)
    whole = float(np.var(load, ddof=1))
    true, error = trusted * whole, (1.0 - trusted) * whole
    slope = float(np.cov(load, rise)[0, 1]) / true
    left = rise - rise.mean() - slope * (load - load.mean())
    spread = float(left @ left) / (rows - 2)
    variance = (spread / true + (error * spread + slope**2 * error**2) / true**2) / (rows - 1)
    return ErrorsLine(
        float(rise.mean() - slope * load.mean()),
        slope,
        float(np.sqrt(spread / rows + load.mean() ** 2 * variance)),
        float(np.sqrt(variance)),
        trusted,
        float(left @ left),
        rows,
    )


def york_line(x: Numbers, y: Numbers, x_weight: Numbers, y_weight: Numbers) -> ErrorsLine:
    """Fit a line by least squares where each x and y has its own known, uncorrelated error.

    Takes x and y [any unit] and their weights, 1 / variance [1/unit²], over 0, shapes (rows,). The
    standard errors are those of the weights as given; `square_sum` over rows - 2 far from 1 says
    that the weights or the line are wrong.

    Raises UsageError for shapes that differ and weights not over 0, NotEnoughDataError with fewer
    than three rows, NotConvergedError with the slopes tried.
    Source: D. York et al., American Journal of Physics 72 (2004) 367.

    >>> line = york_line([0.0, 1.0, 2.0], [1.0, 3.0, 5.0], [4.0, 4.0, 4.0], [1.0, 1.0, 1.0])
    >>> round(line.slope, 9), round(line.intercept, 9)
    (2.0, 1.0)
    """
    data = _pairs(x, y, x_weight, y_weight)
    history = [float(np.polyfit(data[0], data[1], 1)[0])]
    for _ in range(_MOST_STEPS):
        history.append(_york_step(data, history[-1])[0])
        if abs(history[-1] - history[-2]) <= _TIGHT * abs(history[-1]):
            return _york_finish(data, history[-1])
    raise NotConvergedError("The line did not settle.", "Check the weights.", tuple(history))


def _pairs(*columns: Numbers) -> tuple[Array, Array, Array, Array]:
    x, y, x_weight, y_weight = (numbers(one) for one in columns)
    if not x.shape == y.shape == x_weight.shape == y_weight.shape or x.ndim != 1:
        raise UsageError("x, y and their weights must have one shape, (rows,).")
    if not (np.all(x_weight > 0) and np.all(y_weight > 0)):
        raise UsageError("Every weight must be over 0.")
    if len(x) < 3:
        raise NotEnoughDataError("Three readings are needed for a line with errors.")
    return x, y, x_weight, y_weight


def _york_step(
    data: tuple[Array, Array, Array, Array], slope: float
) -> tuple[float, float, Array, Array]:
    """Return the next slope and intercept, the weights of the rows and their adjusted offsets."""
    x, y, x_weight, y_weight = data
    weight = x_weight * y_weight / (x_weight + slope**2 * y_weight)
    middle_x, middle_y = np.average(x, weights=weight), np.average(y, weights=weight)
    u, v = x - middle_x, y - middle_y
    adjusted = weight * (u / y_weight + slope * v / x_weight)
    new = float(np.sum(weight * adjusted * v) / np.sum(weight * adjusted * u))
    return new, float(middle_y - new * middle_x), weight, middle_x + adjusted


def _york_finish(data: tuple[Array, Array, Array, Array], slope: float) -> ErrorsLine:
    x, y, x_weight, _ = data
    slope, intercept, weight, adjusted = _york_step(data, slope)
    middle = float(np.average(adjusted, weights=weight))
    slope_error = float(1.0 / np.sqrt(np.sum(weight * (adjusted - middle) ** 2)))
    left = float(np.sum(weight * (y - intercept - slope * x) ** 2))
    return ErrorsLine(
        intercept,
        slope,
        float(np.hypot(1.0 / np.sqrt(weight.sum()), middle * slope_error)),
        slope_error,
        float(1.0 - np.mean(1.0 / x_weight) / np.var(x, ddof=1)),
        left,
        len(x),
    )
