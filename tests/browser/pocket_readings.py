"""Random readings for the pocket page and the command: every class, missing fields, every edge."""

from __future__ import annotations

import random
from collections.abc import Iterator

from analytics.columns import DEVICE_CLASSES
from analytics.opinion.reading import HOTTEST_DEGC, RATINGS_A, Reading, problems

LOAD_EDGES = (0.0, 0.01, 0.02, 0.05, 0.1, 0.2, 0.4, 0.6, 0.8, 1.0, 1.25, 1.5)
"""Load fractions at which a band, a limit or a projection begins or ends [1]."""
MINUTE_EDGES = (0, 7.5, 9.5, 10, 12.5, 17.5, 22.5, 27.5, 32.5, 40, 45, 50, 70, 2880)
"""Minutes at which a band begins or a reading counts as settled."""
USUAL_RATINGS_A = (15, 20, 25, 30, 40, 50, 100, 200)


def readings(count: int, seed: int, makes: list[str]) -> list[Reading]:
    """Return so many readings that can be true, in °C; the same seed gives the same."""
    return [one for one, _ in zip(_possible(seed, makes), range(count), strict=False)]


def impossible(count: int, seed: int, makes: list[str]) -> list[Reading]:
    """Return so many readings that cannot be true, in °F or °C."""
    found: list[Reading] = []
    for one in _wild(seed, makes):
        if problems(one):
            found.append(one)
        if len(found) == count:
            break
    return found


def _possible(seed: int, makes: list[str]) -> Iterator[Reading]:
    return (one for one in _wild(seed, makes, spoilt=0.0) if not problems(one))


def _wild(seed: int, makes: list[str], spoilt: float = 0.2) -> Iterator[Reading]:
    dice = random.Random(seed)
    while True:
        yield _one(dice, makes, spoilt)


def _one(dice: random.Random, makes: list[str], spoilt: float) -> Reading:
    rated = dice.choice(dice.choice((USUAL_RATINGS_A, RATINGS_A)))
    ambient = dice.choice((dice.uniform(-25, 45), round(dice.uniform(10, 30), 1)))
    top = min(dice.choice((8.0, 30.0, 60.0, 150.0)), HOTTEST_DEGC - ambient)
    device = ambient + dice.uniform(0, top) if dice.random() < 0.97 else ambient
    terminal = _beside(dice, device, ambient) if dice.random() < 0.5 else None
    wire = _beside(dice, terminal or device, ambient) if dice.random() < 0.4 else None
    return Reading(
        device_class=dice.choice(list(DEVICE_CLASSES)),
        rated_a=_spoilt(dice, spoilt, rated, (0.0, -20.0, 22.0, 17.5)),
        ambient_degc=_spoilt(dice, spoilt, ambient, (61.0, -41.0, device + 0.2)),
        device_degc=_spoilt(dice, spoilt, device, (204.4, ambient - 1.0, -45.0)),
        current_a=_spoilt(dice, spoilt, _current(dice, rated), (0.0, -1.0, 2.0 * rated)),
        poles=dice.choice((1, 1, 1, 2, 2, 3)),
        load_minutes=_spoilt(dice, spoilt, _minutes(dice), (-1.0, 2881.0)),
        make=dice.choice([None, None, "a make never met", *makes]),
        termination_degc=_spoilt(dice, spoilt, terminal, (ambient - 2.0, 201.0)),
        conductor_degc=_spoilt(dice, spoilt, wire, (ambient - 0.1, 300.0)),
        floor_degc=_spoilt(
            dice, spoilt, _floor(dice, ambient), (device + 4.1, ambient - 4.1, 250.0)
        ),
        unit=dice.choice(("degF", "degC")),
    )


def _spoilt(
    dice: random.Random, share: float, value: float | None, bad: tuple[float, ...]
) -> float:
    return dice.choice(bad) if dice.random() < share / 4 else value  # type: ignore[return-value]


def _beside(dice: random.Random, degc: float, ambient: float) -> float:
    lift = dice.choice((dice.uniform(-8, 8), dice.uniform(-20, 20), dice.uniform(0, 60)))
    return min(max(degc + lift, ambient), HOTTEST_DEGC)


def _floor(dice: random.Random, ambient: float) -> float | None:
    return None if dice.random() < 0.6 else ambient + dice.uniform(-1, 12)


def _current(dice: random.Random, rated: float) -> float | None:
    kind = dice.random()
    if kind < 0.1:
        return None
    if kind < 0.3:
        return dice.choice(LOAD_EDGES) * rated
    return round(dice.uniform(0, 1.3) * rated, dice.choice((1, 2, 6)))


def _minutes(dice: random.Random) -> float | None:
    kind = dice.random()
    if kind < 0.3:
        return None
    return dice.choice(MINUTE_EDGES) if kind < 0.6 else round(dice.uniform(0, 120))
