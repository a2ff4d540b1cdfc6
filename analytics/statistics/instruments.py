"""What camera and clamp may be off by, the emissivity correction, and how errors propagate."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import factorial

import numpy as np

from analytics.errors import NotEnoughDataError, UsageError
from analytics.statistics.figures import (
    CAMERA_LIMIT_K,
    CAMERA_LIMIT_SHARE,
    CLAMP_DIGITS,
    CLAMP_LIMIT_SHARE,
    CLAMP_RESOLUTION,
    RECTANGULAR_DIVISOR,
)
from analytics.statistics.heat import ABSOLUTE_ZERO_DEGC, EXPONENT_IEC
from analytics.statistics.sourced import Array, Numbers, numbers


@dataclass(frozen=True)
class Line:
    """A straight line a + b (x − x0) with the covariance of (a, b), shape (2, 2)."""

    intercept: float
    slope: float
    reference: float
    covariance: Array
    spread: float

    def at(self, x: float) -> tuple[float, float]:
        """Return the line's value at x and its standard uncertainty."""
        weights = np.array([1.0, x - self.reference])
        value = float(weights @ [self.intercept, self.slope])
        return value, float(np.sqrt(weights @ self.covariance @ weights))


def standard_uncertainty(limit: Numbers) -> Array:
    """Return the standard uncertainty of a limit ± given without more, in its unit.

    Takes the half-width as rectangular, so limit / √3. Source: JCGM 100:2008, 4.3.7.

    >>> round(float(standard_uncertainty(2.0)), 3)
    1.155
    """
    return np.asarray(numbers(limit) / RECTANGULAR_DIVISOR.value)


def camera_limit_k(temperature_degc: Numbers) -> Array:
    """Return by how much [K] a camera may be off at a temperature [°C]: 2 K or 2 %, the greater.

    A class found on data sheets; the instrument's own line goes before it. Says nothing about
    emissivity, reflections or focus.

    >>> camera_limit_k([20, 100, 150]).tolist()
    [2.0, 2.0, 3.0]
    """
    share = CAMERA_LIMIT_SHARE.value * np.abs(numbers(temperature_degc))
    return np.asarray(np.maximum(CAMERA_LIMIT_K.value, share))


def clamp_limit_a(current_a: Numbers, resolution_a: Numbers = CLAMP_RESOLUTION.value) -> Array:
    """Return by how much [A] a clamp may be off at a current [A]: 2 % and five digits.

    A class found on data sheets, for a sine wave and one wire well centred in the jaw.

    >>> clamp_limit_a([16.0, 4.0]).round(2).tolist()
    [0.82, 0.58]
    """
    digits = CLAMP_DIGITS.value * numbers(resolution_a)
    return np.asarray(CLAMP_LIMIT_SHARE.value * np.abs(numbers(current_a)) + digits)


def combined_limit(limits: Numbers, confidence: float = 0.95) -> float:
    """Return what a sum of independent errors stays within [their unit] with this confidence.

    Takes the half-widths of the errors, each rectangular, one to twelve over 0, shape (n,). Exact
    where the usual 1.96 standard uncertainties are too wide, above all when one error rules.
    Formula: the distribution of a sum of rectangulars, inverted. Raises UsageError for other limits
    or a confidence not between 0 and 1.
    Source: JCGM 101:2008, 9.2; density by P. S. Laplace, after D. M. Bradley, R. C. Gupta (2002).

    >>> round(combined_limit([1.0]), 2), round(combined_limit([1.0, 1.0], 0.75), 2)
    (0.95, 1.0)
    """
    from scipy.optimize import brentq

    half = numbers(limits)
    if half.ndim != 1 or not 0 < half.size <= 12 or np.any(half <= 0) or not 0 < confidence < 1:
        raise UsageError("One to twelve limits over 0 and a confidence between 0 and 1 are needed.")
    signs = np.array(np.meshgrid(*[(1.0, -1.0)] * half.size)).reshape(half.size, -1)
    ends, parity, scale = half @ signs, signs.prod(axis=0), float(np.max(half))
    volume = float(factorial(half.size)) * float(np.prod(2 * half / scale))

    def missing(limit: float) -> float:
        reached = np.maximum((limit + ends) / scale, 0.0) ** half.size
        return 2 * float(parity @ reached) / volume - 1 - confidence

    return float(brentq(missing, 0.0, float(half.sum()), xtol=1e-12 * scale))


def surface_degc(apparent_degc: Numbers, emissivity: Numbers, reflected_degc: Numbers) -> Array:
    """Return the surface temperature [°C] behind an apparent one.

    Takes the temperature the camera shows with its emissivity set to 1 [°C], the surface's
    emissivity [1] and the reflected apparent temperature [°C], broadcastable. Total radiation: a
    camera sees one band only, so at low emissivity the answer is rough, and bare metal is better
    read on a piece of tape. NaN where the reflection alone outshines the reading.
    Formula: ((Ta⁴ − (1 − ε) Tr⁴) / ε)^¼ in kelvins. Raises UsageError for an emissivity that is
    not over 0 and up to 1. Source: ISO 18434-1.

    >>> round(float(surface_degc(60, 0.95, 20)), 2)
    61.74
    """
    share = _checked_emissivity(emissivity)
    shown, reflected = _kelvin(apparent_degc) ** 4, _kelvin(reflected_degc) ** 4
    own = (shown - (1 - share) * reflected) / share
    kelvin = np.where(own > 0, own, np.nan) ** 0.25
    return np.asarray(kelvin + ABSOLUTE_ZERO_DEGC)


def apparent_degc(surface: Numbers, emissivity: Numbers, reflected_degc: Numbers) -> Array:
    """Return what a camera set to emissivity 1 shows [°C]: the inverse of `surface_degc`.

    Takes the surface's temperature [°C], its emissivity [1] and the reflected one [°C].
    Source: ISO 18434-1.

    >>> round(float(apparent_degc(60, 0.07, 20)))
    23
    """
    share = _checked_emissivity(emissivity)
    seen = share * _kelvin(surface) ** 4 + (1 - share) * _kelvin(reflected_degc) ** 4
    return np.asarray(seen**0.25 + ABSOLUTE_ZERO_DEGC)


def surface_uncertainty_k(
    apparent: Numbers,
    emissivity: Numbers,
    reflected_degc: Numbers,
    *,
    u_apparent_k: Numbers = 0.0,
    u_emissivity: Numbers = 0.0,
    u_reflected_k: Numbers = 0.0,
) -> Array:
    """Return the standard uncertainty [K] of `surface_degc`, to first order.

    Takes what `surface_degc` takes and the standard uncertainties of the three [K, 1, K],
    uncorrelated. At low emissivity the first order is too small.
    Source: JCGM 100:2008, 5.1.2, with the derivatives of the ISO 18434-1 equation.

    >>> round(float(surface_uncertainty_k(60, 0.95, 20, u_apparent_k=1.0, u_emissivity=0.02)), 2)
    1.27
    """
    share = _checked_emissivity(emissivity)
    surface = _kelvin(surface_degc(apparent, share, reflected_degc))
    reflected = _kelvin(reflected_degc)
    by_apparent = (_kelvin(apparent) / surface) ** 3 / share
    by_emissivity = surface / (4 * share) * (1 - (reflected / surface) ** 4)
    by_reflected = (1 - share) / share * (reflected / surface) ** 3
    terms = (
        by_apparent * numbers(u_apparent_k),
        by_emissivity * numbers(u_emissivity),
        by_reflected * numbers(u_reflected_k),
    )
    return np.asarray(np.sqrt(sum((term**2 for term in terms), np.float64(0))))


def _checked_emissivity(emissivity: Numbers) -> Array:
    share = numbers(emissivity)
    if np.any((share <= 0) | (share > 1)):
        raise UsageError("An emissivity must be over 0 and at most 1.")
    return share


def _kelvin(temperature_degc: Numbers) -> Array:
    return np.asarray(numbers(temperature_degc) - ABSOLUTE_ZERO_DEGC)


def projected_uncertainty_k(
    rise_k: Numbers,
    current_a: Numbers,
    target_a: Numbers,
    *,
    u_rise_k: Numbers,
    u_current_a: Numbers,
    exponent: Numbers = EXPONENT_IEC.value,
    u_exponent: Numbers = 0.0,
) -> Array:
    """Return the standard uncertainty [K] of a rise projected to another current.

    Takes the rise read [K], the current then [A], the other current [A], the standard
    uncertainties of rise [K], current [A] and exponent [1], all uncorrelated and broadcastable.
    To first order: below a tenth of the target current it is too small.
    Source: JCGM 100:2008, 5.1.2, applied to the load correction of IEC 61439-1, 10.10.2.3.1.

    >>> u_rise = np.hypot(standard_uncertainty(2), standard_uncertainty(1))
    >>> u_current = standard_uncertainty(clamp_limit_a(16))
    >>> round(float(projected_uncertainty_k(
    ...     20, 16, 16, u_rise_k=u_rise, u_current_a=u_current, exponent=1.6)), 1)
    1.6
    """
    rise, current, power = numbers(rise_k), numbers(current_a), numbers(exponent)
    ratio = numbers(target_a) / np.where(current > 0, current, np.nan)
    factor = ratio**power
    by_rise = factor * numbers(u_rise_k)
    by_current = factor * power * rise * numbers(u_current_a) / current
    by_exponent = factor * rise * np.log(ratio) * numbers(u_exponent)
    return np.asarray(np.sqrt(by_rise**2 + by_current**2 + by_exponent**2))


def mean_with_covariance(readings: Numbers) -> tuple[Array, Array]:
    """Return the means and their covariance of quantities read together.

    Takes readings of shape (repeats, quantities); returns shapes (quantities,) and
    (quantities, quantities). Raises NotEnoughDataError with fewer than two repeats.
    Source: JCGM 100:2008, 5.2.3.

    >>> mean_with_covariance([[1.0, 2.0], [3.0, 4.0]])[1].tolist()
    [[1.0, 1.0], [1.0, 1.0]]
    """
    table = numbers(readings)
    if len(table) < 2:
        raise NotEnoughDataError("Two repeats are needed for a covariance.")
    return table.mean(axis=0), np.atleast_2d(np.cov(table, rowvar=False)) / len(table)


def propagate(
    function: Callable[[Array], Array], values: Numbers, covariance: Numbers
) -> tuple[Array, Array]:
    """Return a function's value and covariance from those of its arguments, to first order.

    Takes a function of one vector, the arguments, shape (n,), and their covariance, shape (n, n);
    returns shapes (m,) and (m, m). Leaving out the covariances can mislead by a factor of ten.
    Derivatives by central differences of a thousandth of each standard uncertainty.
    Source: JCGM 100:2008, 5.2.2.

    >>> value, spread = propagate(lambda v: v[:1] - v[1:], [3.0, 1.0], [[1.0, 1.0], [1.0, 1.0]])
    >>> float(value[0]), float(abs(spread[0, 0]) < 1e-12)
    (2.0, 1.0)
    """
    start, spread = numbers(values), numbers(covariance)
    steps = np.diag(1e-3 * np.sqrt(np.diag(spread)))
    slopes = [
        (function(start + step) - function(start - step)) / (2 * step.sum())
        if step.any()
        else 0 * function(start)
        for step in steps
    ]
    jacobian = np.array(slopes).T
    return np.asarray(function(start)), np.asarray(jacobian @ spread @ jacobian.T)


def calibration_line(x: Numbers, deviation: Numbers, reference: float = 0.0) -> Line:
    """Fit the line of an instrument's deviations against its readings, with full covariance.

    Takes readings and deviations of one unit, shape (n,), and the reading at which the intercept
    is taken. Raises NotEnoughDataError with fewer than three readings or all alike.
    Source: JCGM 100:2008, H.3.

    >>> line = calibration_line([20.0, 30.0, 40.0], [0.1, 0.2, 0.3], reference=20.0)
    >>> round(line.at(35.0)[0], 3)
    0.25
    """
    offset, y = numbers(x) - reference, numbers(deviation)
    if len(y) < 3 or np.ptp(offset) == 0:
        raise NotEnoughDataError("Three readings, not all alike, are needed for a line.")
    design = np.column_stack([np.ones_like(offset), offset])
    basis, triangle = np.linalg.qr(design)
    fitted = np.linalg.solve(triangle, basis.T @ y)
    variance = float(np.sum((y - design @ fitted) ** 2)) / (len(y) - 2)
    inverse = np.linalg.inv(triangle)
    return Line(
        float(fitted[0]), float(fitted[1]), reference, variance * inverse @ inverse.T, variance**0.5
    )
