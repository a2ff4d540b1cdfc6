"""The four numbers that stand in for the unit registry where it would be too slow to come in."""

from __future__ import annotations

import pytest

from analytics import units
from analytics.errors import UsageError


@pytest.mark.parametrize("unit", ["degF", "degC"])
@pytest.mark.parametrize("value", [-40.0, 0.0, 32.0, 64.4, 400.0])
def test_they_are_those_of_the_registry(unit: str, value: float) -> None:
    # Degree Fahrenheit: 1 °F is 5/9 K, 32 °F is 0 °C, by definition (F).
    assert units.exact_to_degc(value, unit) == pytest.approx(units.to_degc(value, unit), abs=1e-12)
    assert units.exact_from_degc(value, unit) == pytest.approx(units.from_degc(value, unit))
    assert units.exact_difference(value, unit) == pytest.approx(
        units.difference_from_k(value, unit)
    )


def test_a_rise_of_50_k_is_90_degrees_fahrenheit() -> None:
    # A trap seen in public copies: 122 °F, as if it were a temperature.
    assert units.exact_difference(50.0, "degF") == pytest.approx(90.0)


def test_another_unit_is_refused() -> None:
    with pytest.raises(UsageError, match="is not a temperature unit"):
        units.exact_to_degc(300.0, "kelvin")
