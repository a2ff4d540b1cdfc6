"""How a rise follows the current: published bands, load correction, films, warm-up."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from analytics.errors import UsageError
from analytics.statistics.figures import WORRY_RISE as WORRY_RISE
from analytics.statistics.ladders import OVER_AMBIENT as OVER_AMBIENT
from analytics.statistics.ladders import OVER_SIMILAR as OVER_SIMILAR
from analytics.statistics.sourced import Array, Numbers, Sourced, numbers

ABSOLUTE_ZERO_DEGC = -273.15
"""Zero kelvin [°C]; exact by definition of the degree Celsius."""

EXPONENT_IEC = Sourced(1 / 0.61, "1", "IEC 61439-1, 10.10.2.3.1: current goes as rise to the 0.61")
EXPONENT_CONSTANT_FILM = Sourced(2.0, "1", "heat balance with a constant film", "derived")
EXPONENT_LAMINAR = Sourced(2 / 1.25, "1", "heat balance, laminar natural convection", "derived")
EXPONENT_TURBULENT = Sourced(1.5, "1", "heat balance, turbulent natural convection", "derived")
EXPONENT_SWITCHGEAR = Sourced(1.8, "1", "IEEE C37.010", "from memory")
EXPONENT_TRANSFORMER = Sourced(1.6, "1", "IEEE C57.91", "from memory")
EXPONENT_PLAUSIBLE = (
    Sourced(1.4, "1", "a little under turbulent convection", "chosen"),
    Sourced(2.2, "1", "a little over a constant film", "chosen"),
)
SETTLED_MINUTES = Sourced(30.0, "min", "load on before judging", "common practice")
BODY_TIME_CONSTANTS = (
    Sourced(16.0, "min", "first-order model of a breaker's body, within 30 %", "derived"),
    Sourced(25.0, "min", "first-order model of a breaker's body, within 30 %", "derived"),
)
FILM_VERTICAL = Sourced(1.42, "W/(m² K) (m/K)^¼", "heat-transfer handbooks, laminar free film")
FILM_CYLINDER = Sourced(1.32, "W/(m² K) (m/K)^¼", "heat-transfer handbooks, laminar free film")
STEFAN_BOLTZMANN = Sourced(5.670374419e-8, "W/(m² K⁴)", "CODATA 2018; exact since the 2019 SI")


def load_corrected_rise_k(
    rise_k: Numbers,
    current_a: Numbers,
    target_a: Numbers,
    exponent: Numbers = EXPONENT_IEC.value,
) -> Array:
    """Return the rise [K] to be expected at another current.

    Takes broadcastable arrays: rise [K], the current it was read at [A], the other current [A] and
    the exponent [1]. Only the load-driven part follows the current: subtract what a device gives
    off without load first. Far extrapolation is worth little, see `full_load_multiplier`. A rise
    read at no current gives NaN. Formula: rise · (target / current)^n.
    Source: IEC 61439-1, 10.10.2.3.1.

    >>> round(float(load_corrected_rise_k(102, 973, 990)), 1)
    104.9
    """
    current = numbers(current_a)
    ratio = numbers(target_a) / np.where(current > 0, current, np.nan)
    return np.asarray(numbers(rise_k) * ratio ** numbers(exponent))


def load_corrected_current_a(
    current_a: Numbers,
    rise_k: Numbers,
    target_k: Numbers,
    exponent: Numbers = EXPONENT_IEC.value,
) -> Array:
    """Return the current [A] that would bring another rise: the inverse of the load correction.

    Takes broadcastable arrays: current [A], the rise it brought [K], the other rise [K] and the
    exponent [1]. Formula: current · (target / rise)^(1/n). Source: IEC 61439-1, 10.10.2.3.1.

    >>> round(float(load_corrected_current_a(973, 102, 105)))
    990
    """
    rise = numbers(rise_k)
    ratio = numbers(target_k) / np.where(rise > 0, rise, np.nan)
    return np.asarray(numbers(current_a) * ratio ** (1 / numbers(exponent)))


def full_load_multiplier(load_fraction: Numbers, exponent: Numbers = EXPONENT_IEC.value) -> Array:
    """Return how many times its rise a device would show at full rating [1].

    Takes the load fraction [1] and the exponent [1], broadcastable. At 40 % of load the choice of
    the exponent moves the answer by 44 %: print that spread. No load gives NaN.
    Formula: (1/f)^n. Source: IEC 61439-1, 10.10.2.3.1.

    >>> full_load_multiplier(0.4, [1.6, 2.0]).round(3).tolist()
    [4.332, 6.25]
    """
    return load_corrected_rise_k(1.0, load_fraction, 1.0, exponent)


def is_exponent_plausible(exponent: Numbers) -> npt.NDArray[np.bool_]:
    """Tell whether a fitted exponent [1] lies where heat balance puts it, 1.4 to 2.2.

    Outside, the data deserve a question (fan, saturated reading, wrong rating), not the physics.

    >>> is_exponent_plausible([1.3, 1.64, 2.0]).tolist()
    [False, True, True]
    """
    low, high = EXPONENT_PLAUSIBLE
    values = numbers(exponent)
    return np.asarray((values >= low.value) & (values <= high.value))


def warm_up_share(minutes: Numbers, time_constant_minutes: Numbers) -> Array:
    """Return the share [1] of its final rise that a body has reached.

    Takes minutes since the load came on and the time constant [min], broadcastable. One time
    constant and no earlier load are assumed: what had run before is warmer than this says.
    Formula: 1 − exp(−t/τ), first-order model.

    >>> warm_up_share([1, 2, 3], 1).round(3).tolist()
    [0.632, 0.865, 0.95]
    """
    tau = numbers(time_constant_minutes)
    if np.any(tau <= 0):
        raise UsageError("A time constant must be over 0 min.")
    return np.asarray(-np.expm1(-numbers(minutes) / tau))


def vertical_film_w_m2k(rise_k: Numbers, height_m: Numbers) -> Array:
    """Return the laminar free-convection film [W/(m² K)] of an upright plate.

    Takes the surface's rise over air [K] and the plate's height in metres (not millimetres).
    Still air only. Formula: 1.42 (ΔT/L)^¼. Source: heat-transfer handbooks.

    >>> round(float(vertical_film_w_m2k(30, 0.1)), 2)
    5.91
    """
    return _film(FILM_VERTICAL.value, rise_k, height_m)


def cylinder_film_w_m2k(rise_k: Numbers, diameter_m: Numbers) -> Array:
    """Return the laminar free-convection film [W/(m² K)] of a level cylinder.

    Takes the surface's rise over air [K] and the diameter in metres (not millimetres).
    Still air only. Formula: 1.32 (ΔT/D)^¼. Source: heat-transfer handbooks.

    >>> round(float(cylinder_film_w_m2k(50, 0.08)), 2)
    6.6
    """
    return _film(FILM_CYLINDER.value, rise_k, diameter_m)


def _film(factor: float, rise_k: Numbers, length_m: Numbers) -> Array:
    length = numbers(length_m)
    if np.any(length <= 0):
        raise UsageError("A length must be over 0 m.")
    return np.asarray(factor * (np.abs(numbers(rise_k)) / length) ** 0.25)


def radiation_film_w_m2k(mean_degc: Numbers, emissivity: Numbers = 1.0) -> Array:
    """Return the linearised radiative film [W/(m² K)] at a mean temperature [°C].

    Good for small differences between surface and surroundings. Formula: 4 ε σ T³.
    Source: ISO 6946, annex on surface resistance (from memory).

    >>> round(float(radiation_film_w_m2k(20)), 2)
    5.71
    """
    kelvin = numbers(mean_degc) - ABSOLUTE_ZERO_DEGC
    return np.asarray(4 * numbers(emissivity) * STEFAN_BOLTZMANN.value * kelvin**3)
