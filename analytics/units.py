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
