"""Wires: size, resistance, how it grows with temperature, and what a bare conductor gives off."""

from __future__ import annotations

import numpy as np

from analytics.errors import UsageError
from analytics.statistics.heat import ABSOLUTE_ZERO_DEGC, STEFAN_BOLTZMANN
from analytics.statistics.sourced import Array, Numbers, Sourced, numbers

RESISTIVITY_20: dict[str, Sourced] = {
    "copper": Sourced(1 / 58, "Ω mm²/m", "IEC 60028, annealed copper"),
    "aluminium": Sourced(0.028264, "Ω mm²/m", "IEC 60889, hard-drawn aluminium", "from memory"),
}
TEMPERATURE_COEFFICIENT_20: dict[str, Sourced] = {
    "copper": Sourced(0.00393, "1/K", "IEC 60028"),
    "aluminium": Sourced(0.00403, "1/K", "IEC 60889"),
}
REFERENCE_DEGC = 20.0
"""Temperature of the resistivities [°C]; IEC 60028."""
M_PER_KFT = 304.8
"""Metres in a thousand feet [m]; exact."""


def awg_diameter_mm(awg: Numbers) -> Array:
    """Return the diameter [mm] of a solid wire from its AWG number (1/0 is 0, 2/0 is -1).

    Formula: 0.127 · 92^((36 − n)/39), the definition of the gauge. Source: ASTM B258.

    >>> awg_diameter_mm([14, 12]).round(3).tolist()
    [1.628, 2.053]
    """
    return np.asarray(0.127 * 92 ** ((36 - numbers(awg)) / 39))


def resistance_at_degc(resistance_20: Numbers, target_degc: Numbers, material: str) -> Array:
    """Return a resistance at another temperature [°C], in the unit it was given in at 20 °C.

    Formula: R20 (1 + α20 (T − 20)). Source: IEC 60028 (copper), IEC 60889 (aluminium).

    >>> round(float(resistance_at_degc(12.1, 70, "copper")), 2)
    14.48
    """
    alpha = _of(TEMPERATURE_COEFFICIENT_20, material)
    return np.asarray(
        numbers(resistance_20) * (1 + alpha * (numbers(target_degc) - REFERENCE_DEGC))
    )


def wire_resistance_ohm_per_km(
    awg: Numbers, material: str = "copper", conductor_degc: Numbers = REFERENCE_DEGC
) -> Array:
    """Return the direct-current resistance [Ω/km] of a solid wire at a temperature [°C].

    Takes AWG numbers and temperatures, broadcastable. Stranded wire has some 2 % more.
    Source: IEC 60028, IEC 60889, ASTM B258.

    >>> (wire_resistance_ohm_per_km([14, 12], "copper", 75) * M_PER_KFT / 1000).round(2).tolist()
    [3.07, 1.93]
    """
    area_mm2 = np.pi / 4 * awg_diameter_mm(awg) ** 2
    at_20 = 1000 * _of(RESISTIVITY_20, material) / area_mm2
    return resistance_at_degc(at_20, conductor_degc, material)


def _of(table: dict[str, Sourced], material: str) -> float:
    if material not in table:
        raise UsageError(f"There is no conductor material “{material}”.", "Use copper, aluminium.")
    return table[material].value


def convection_w_per_m(
    conductor_degc: Numbers,
    ambient_degc: Numbers,
    diameter_m: Numbers,
    wind_m_s: Numbers = 0.0,
) -> Array:
    """Return the heat [W/m] that a bare level conductor at sea level gives to the air.

    Takes conductor and air temperature [°C], diameter [m] and wind across it [m/s], broadcastable.
    The larger of natural, low-wind and high-wind convection; without wind an upper bound for a wire
    in a crowded box. Source: IEEE 738-2012.

    >>> round(float(convection_w_per_m(100.7, 40, 0.02812, 0.61)), 1)
    83.0
    """
    surface, air, width = numbers(conductor_degc), numbers(ambient_degc), numbers(diameter_m)
    difference = surface - air
    film = (surface + air) / 2
    density = 1.293 / (1 + 0.00367 * film)
    viscosity = 1.458e-6 * (film + 273) ** 1.5 / (film + 383.4)
    conductivity = 2.424e-2 + 7.477e-5 * film - 4.407e-9 * film**2
    reynolds = width * density * numbers(wind_m_s) / viscosity
    low_wind = (1.01 + 1.35 * reynolds**0.52) * conductivity * difference
    high_wind = 0.754 * reynolds**0.6 * conductivity * difference
    size = np.abs(difference)
    still = np.sign(difference) * 3.645 * density**0.5 * width**0.75 * size**1.25
    forced = np.where(np.abs(low_wind) > np.abs(high_wind), low_wind, high_wind)
    forced = np.where(numbers(wind_m_s) > 0, forced, 0.0)
    return np.asarray(np.where(np.abs(forced) > np.abs(still), forced, still))


def radiation_w_per_m(
    conductor_degc: Numbers, ambient_degc: Numbers, diameter_m: Numbers, emissivity: Numbers
) -> Array:
    """Return the heat [W/m] that a bare conductor radiates to surroundings at ambient [°C].

    Takes temperatures [°C], diameter [m] and emissivity [1], broadcastable.
    Formula: π D ε σ (Ts⁴ − Ta⁴). Source: IEEE 738-2012 (which rounds πσ to 17.8e-8).

    >>> round(float(radiation_w_per_m(100.7, 40, 0.02812, 0.5)), 1)
    24.8
    """
    surface = numbers(conductor_degc) - ABSOLUTE_ZERO_DEGC
    around = numbers(ambient_degc) - ABSOLUTE_ZERO_DEGC
    factor = np.pi * numbers(diameter_m) * numbers(emissivity) * STEFAN_BOLTZMANN.value
    return np.asarray(factor * (surface**4 - around**4))
