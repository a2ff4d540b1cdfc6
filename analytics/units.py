"""The one unit registry: everything with a unit passes here on its way in or out.

Inside, temperatures are °C (suffix `_degc`), temperature differences are K (`_k`), currents A.
A difference in °F is 1.8 times the kelvins, never plus 32.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Literal

from analytics.errors import UsageError

if TYPE_CHECKING:
    import pint

TempUnit = Literal["degF", "degC"]

UNIT_SYMBOL: dict[str, str] = {"degF": "°F", "degC": "°C"}


@cache
def registry() -> pint.UnitRegistry[float]:
    """Return the application's pint registry, built on first use (import is slow)."""
    import pint

    return pint.UnitRegistry(autoconvert_offset_to_baseunit=False)


def _checked(unit: str) -> str:
    if unit not in UNIT_SYMBOL:
        raise UsageError(f"“{unit}” is not a temperature unit.", "Use degF or degC.")
    return unit


@cache
def temperature_scale(unit: str) -> tuple[float, float]:
    """Return (factor, offset) with degC = value * factor + offset, taken from pint.

    Raises UsageError for a unit that is neither degF nor degC.
    """
    ureg = registry()
    zero, one = (ureg.Quantity(v, _checked(unit)).to("degC").magnitude for v in (0.0, 100.0))
    return (one - zero) / 100.0, zero


def to_degc(value: float, unit: str) -> float:
    """Turn a temperature [degF or degC] into [degC]."""
    return float(registry().Quantity(value, _checked(unit)).to("degC").magnitude)


def from_degc(value_degc: float, unit: str) -> float:
    """Turn a temperature [degC] into [degF or degC]."""
    return float(registry().Quantity(value_degc, "degC").to(_checked(unit)).magnitude)


def difference_to_k(value: float, unit: str) -> float:
    """Turn a temperature difference [degF or degC] into [K]; 70 °F of rise are 38.9 K."""
    return float(registry().Quantity(value, f"delta_{_checked(unit)}").to("kelvin").magnitude)


def difference_from_k(value_k: float, unit: str) -> float:
    """Turn a temperature difference [K] into [degF or degC]; 50 K are 90 °F, never 122."""
    delta = f"delta_{_checked(unit)}"
    return float(registry().Quantity(value_k, "kelvin").to(delta).magnitude)


KELVINS_A_DEGREE = {"degF": 5.0 / 9.0, "degC": 1.0}
"""Size of one degree of each unit [K]; exact by the definition of the degree Fahrenheit."""
FREEZING = {"degF": 32.0, "degC": 0.0}
"""What each unit reads at 0 °C; exact. The registry takes longer to come in than a second opinion
may: these stand in for it there, and a test holds them to it."""


def exact_to_degc(value: float, unit: str) -> float:
    """Turn a temperature [degF or degC] into [degC] without the registry."""
    return (value - FREEZING[_checked(unit)]) * KELVINS_A_DEGREE[unit]


def exact_from_degc(value_degc: float, unit: str) -> float:
    """Turn a temperature [degC] into [degF or degC] without the registry."""
    return value_degc / KELVINS_A_DEGREE[_checked(unit)] + FREEZING[unit]


def exact_difference(value_k: float, unit: str) -> float:
    """Turn a difference [K] into [degF or degC] without the registry; 50 K are 90 °F."""
    return value_k / KELVINS_A_DEGREE[_checked(unit)]
