"""Units: a temperature is not a temperature difference."""

from __future__ import annotations

import pint
import pytest

from analytics import units


def test_a_difference_never_takes_the_offset() -> None:
    # Public copies print a 50 °C rise as 122 °F; right is 90 °F.
    assert units.difference_from_k(50, "degF") == pytest.approx(90, abs=1e-12)
    assert units.from_degc(50, "degF") == pytest.approx(122, abs=1e-9)


@pytest.mark.parametrize("value", [-40.0, 0.0, 36.6, 155.0])
def test_there_and_back(value: float) -> None:
    for unit in units.UNIT_SYMBOL:
        assert units.to_degc(units.from_degc(value, unit), unit) == pytest.approx(value, abs=1e-9)
        back = units.difference_to_k(units.difference_from_k(value, unit), unit)
        assert back == pytest.approx(value, abs=1e-9)


def test_offset_arithmetic_of_the_registry() -> None:
    # Definitions of the degree Celsius and Fahrenheit; pint's rules for offset units.
    q = units.registry().Quantity
    assert q(10, "degC").to("degF").magnitude == pytest.approx(50, abs=1e-9)
    assert q(10, "delta_degC").to("delta_degF").magnitude == pytest.approx(18, abs=1e-12)
    apart = q(104, "degF") - q(68, "degF")
    assert apart.to("delta_degC").magnitude == pytest.approx(20, abs=1e-9)
    assert (q(50, "degC") - q(20, "degC")).to("delta_degC").magnitude == pytest.approx(30)
    warmer = q(20, "degC") + q(10, "delta_degC")
    assert warmer.units == units.registry().degC
    assert warmer.magnitude == pytest.approx(30)


def test_the_registry_refuses_nonsense() -> None:
    q = units.registry().Quantity
    celsius, ampere = q(20, "degC"), q(1, "ampere")
    for wrong in (
        lambda: celsius + celsius,
        lambda: celsius * 2,
        lambda: celsius / ampere,
        lambda: q(1, "watt/delta_degC") * celsius,
    ):
        with pytest.raises(pint.OffsetUnitCalculusError):
            wrong()
    for source, target in (("degC", "delta_degC"), ("delta_degC", "degC")):
        with pytest.raises(pint.DimensionalityError):
            q(20, source).to(target)
    assert q(5, "delta_degC").to("kelvin").magnitude == pytest.approx(5)
