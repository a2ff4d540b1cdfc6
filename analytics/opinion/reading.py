"""One reading as typed, and what cannot be: limits, ratings, contradictions."""

from __future__ import annotations

from dataclasses import dataclass

from analytics import columns
from analytics.statistics.figures import CAMERA_LIMIT_K
from analytics.units import UNIT_SYMBOL, exact_difference, exact_from_degc

HOTTEST_DEGC = 200.0
"""The hottest surface that is believed [°C]; chosen: plastic chars before that, and what is that
hot needs urgent help and no opinion. 400 °F are 204 °C."""
COLDEST_DEGC, WARMEST_AIR_DEGC = -40.0, 60.0
"""Range of the air and of the coldest surface [°C]; as the store's columns have it."""
COOL_SLACK_K = FLOOR_SLACK_K = 2 * CAMERA_LIMIT_K.value
"""How far the coolest breakers may read above this device, and any surface below the air [K]: the
limits of error of two readings of a camera."""
WARM_WITHOUT_LOAD_K = 10.0
"""Rise from which a breaker without load is judged all the same [K]; chosen: under it the panel's
inside air and a neighbour explain it."""
LONGEST_MINUTES = 2880.0
"""Most minutes under load that are believed [min]; the range of the column load_minutes."""
MOST_LOAD = 1.5
"""Most current over rating that is believed [1]; as the rule current_over_rating of the ingest."""
RATINGS_A = (
    *(10, 13, 15, 16, 20, 25, 30, 32, 35, 40, 45, 50, 60, 63, 70, 80, 90, 100, 110, 125, 150),
    *(175, 200, 225, 250, 300, 350, 400, 450, 500, 600),
)
"""Ratings that breakers are made for [A]: NEC 240.6(A) to 600 A, and 10, 13, 16, 32 and 63 A of
IEC 60898-1 (both from memory)."""
TEMPERATURES = ("ambient", "device", "termination", "conductor", "floor")

SENTENCES = {
    "no_class": "“{value}” is no device class; it is one of {classes}.",
    "no_rating": "{value} A is no rating: type the number on its handle.",
    "rating_not_made": "no breaker is made for {value} A.",
    "poles": "{value} poles: a breaker has 1, 2 or 3.",
    "too_hot": "{value} is hotter than a device in service can be ({limit} at most): check the "
    "number and its unit. If it is true, keep away and call for urgent help.",
    "too_cold": "{value} is colder than any panel ({limit} at least): check the number and its "
    "unit.",
    "air_too_hot": "{value} is no air temperature ({limit} at most): check the number and its "
    "unit.",
    "ambient_above": "the air ({value}) is warmer than the {what} ({other}): they may be swapped, "
    "or one is misread.",
    "floor_above": "the coolest breakers ({value}) are warmer than this one ({other}): then it is "
    "one of the coolest itself, or one is misread.",
    "floor_below": "the coolest breakers ({value}) are colder than the air ({other}): one of them "
    "is misread.",
    "current_negative": "a current cannot be negative.",
    "no_current": "0 A: without load no connection shows its heat. Put its usual loads on, clamp "
    "it and scan it again.",
    "current_too_large": "{value} A would open a {other} A breaker within minutes: a decimal point "
    "may be lost.",
    "minutes_negative": "minutes cannot be negative.",
    "minutes_too_many": "{value} minutes are more than two days: is it another unit?",
    "beside_too_many": "{value} devices: one above and one below at most.",
    "not_finite": "“{value}” is no number.",
}
"""What is wrong with a reading, by code; the option or field stands before it."""


@dataclass(frozen=True)
class Reading:
    """A reading of one device: temperatures [°C], currents [A], minutes since the load came on.

    `floor_degc` is the surface of the panel's coolest breakers, `beside_degc` that of the devices
    above and below. `unit` is the one that sentences speak in, degF or degC.
    """

    device_class: str
    rated_a: float
    ambient_degc: float
    device_degc: float
    current_a: float | None = None
    poles: int = 1
    load_minutes: float | None = None
    make: str | None = None
    termination_degc: float | None = None
    conductor_degc: float | None = None
    floor_degc: float | None = None
    beside_degc: tuple[float, ...] = ()
    unit: str = "degF"


@dataclass(frozen=True)
class Problem:
    """Why a reading cannot be judged as typed: the field, a stable code, a sentence."""

    field: str
    code: str
    sentence: str


def problems(reading: Reading) -> list[Problem]:
    """Return what is wrong with a reading, one problem a field, in the order of the fields."""
    found = [*_device(reading), *_temperatures(reading), *_load(reading)]
    seen: dict[str, Problem] = {}
    for problem in found:
        seen.setdefault(problem.field, problem)
    return list(seen.values())


def _problem(field: str, code: str, **words: object) -> Problem:
    return Problem(field, code, SENTENCES[code].format(**words))


def _device(reading: Reading) -> list[Problem]:
    found = []
    if reading.device_class not in columns.DEVICE_CLASSES:
        names = ", ".join(columns.DEVICE_CLASSES)
        found.append(_problem("class", "no_class", value=reading.device_class, classes=names))
    if reading.rated_a not in RATINGS_A:
        code = "rating_not_made" if reading.rated_a > 0 else "no_rating"
        found.append(_problem("rating", code, value=f"{reading.rated_a:g}"))
    if reading.poles not in (1, 2, 3):
        found.append(_problem("poles", "poles", value=reading.poles))
    return found


def _temperatures(reading: Reading) -> list[Problem]:
    told = [(name, getattr(reading, f"{name}_degc")) for name in TEMPERATURES]
    told += [("beside", value) for value in reading.beside_degc]
    found = []
    if len(reading.beside_degc) > 2:
        found.append(_problem("beside", "beside_too_many", value=len(reading.beside_degc)))
    for name, value in told:
        if value is None:
            continue
        found += _range(name, value, reading.unit)
    if reading.ambient_degc > reading.device_degc + COOL_SLACK_K:
        found.append(_swapped("ambient", "device", reading))
    for name in ("termination", "conductor"):
        value = getattr(reading, f"{name}_degc")
        if value is not None and reading.ambient_degc > value + COOL_SLACK_K:
            found.append(_swapped(name, name, reading))
    return [*found, *_floor(reading)]


def _floor(reading: Reading) -> list[Problem]:
    floor, unit = reading.floor_degc, reading.unit
    if floor is None:
        return []
    found = []
    if floor > reading.device_degc + FLOOR_SLACK_K:
        other = shown(reading.device_degc, unit)
        found.append(_problem("floor", "floor_above", value=shown(floor, unit), other=other))
    if floor < reading.ambient_degc - FLOOR_SLACK_K:
        other = shown(reading.ambient_degc, unit)
        found.append(_problem("floor", "floor_below", value=shown(floor, unit), other=other))
    return found


def _swapped(field: str, name: str, reading: Reading) -> Problem:
    other = shown(getattr(reading, f"{name}_degc"), reading.unit)
    value = shown(reading.ambient_degc, reading.unit)
    what = "wire" if name == "conductor" else name
    return _problem(field, "ambient_above", value=value, other=other, what=what)


def _range(name: str, value_degc: float, unit: str) -> list[Problem]:
    high = WARMEST_AIR_DEGC if name == "ambient" else HOTTEST_DEGC
    said = shown(value_degc, unit)
    if value_degc > high:
        code = "air_too_hot" if name == "ambient" else "too_hot"
        return [_problem(name, code, value=said, limit=shown(high, unit))]
    if not value_degc >= COLDEST_DEGC:
        return [_problem(name, "too_cold", value=said, limit=shown(COLDEST_DEGC, unit))]
    return []


def _load(reading: Reading) -> list[Problem]:
    found = []
    current, minutes = reading.current_a, reading.load_minutes
    if current is not None and current < 0:
        found.append(_problem("current", "current_negative"))
    elif current == 0 and reading.device_class in ("standard", "main") and not _is_warm(reading):
        found.append(_problem("current", "no_current"))
    elif current is not None and current > MOST_LOAD * reading.rated_a:
        rated = f"{reading.rated_a:g}"
        found.append(_problem("current", "current_too_large", value=f"{current:g}", other=rated))
    if minutes is not None and minutes < 0:
        found.append(_problem("minutes", "minutes_negative"))
    elif minutes is not None and minutes > LONGEST_MINUTES:
        found.append(_problem("minutes", "minutes_too_many", value=f"{minutes:g}"))
    return found


def _is_warm(reading: Reading) -> bool:
    """Tell whether a part is warm enough that no load is a finding, and no reason to ask again."""
    parts = (reading.device_degc, reading.termination_degc, reading.conductor_degc)
    hottest = max(one for one in parts if one is not None)
    return hottest - reading.ambient_degc >= WARM_WITHOUT_LOAD_K


def shown(value_degc: float, unit: str) -> str:
    """Return a temperature [°C] in words of the unit, to a tenth at most."""
    return f"{round(exact_from_degc(value_degc, unit), 1) + 0.0:g} {UNIT_SYMBOL[unit]}"


def shown_rise(value_k: float, unit: str) -> str:
    """Return a difference [K] in words: whole °F, or K to a tenth."""
    if unit == "degF":
        return f"{round(exact_difference(value_k, unit)):d} °F"
    return f"{round(value_k, 1) + 0.0:g} K"
