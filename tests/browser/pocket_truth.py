"""What the pocket page's engine says of a reading, beside what the command says of it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from analytics.opinion import Reading

if TYPE_CHECKING:
    from playwright.sync_api import Page

RELATIVE = 1e-6
LEAST = 1e-12
"""Difference below which two numbers are the same whatever their size; rounding of a sum."""
NEARLY_CERTAIN = 1e-9
"""Rest of a chance below which double precision no longer tells its logarithm [1]."""
KEYS = {
    "rise_k": "riseK",
    "load_fraction": "load",
    "termination_rise_k": "terminationRiseK",
    "conductor_rise_k": "conductorRiseK",
    "expected_rise_k": "expectedK",
    "lower_k": "lowerK",
    "upper_k": "upperK",
    "lift_k": "liftK",
    "standard_residual": "z",
    "heat_ratio": "heatRatio",
    "heat_ratio_low": "heatRatioLow",
    "heat_ratio_high": "heatRatioHigh",
    "smallest_ratio_seen": "smallestRatioSeen",
    "probability": "probability",
    "local_fdr": "localFdr",
    "score": "score",
    "flip_chance": "flipChance",
    "verdict": "verdict",
    "reason": "reason",
    "next_step": "nextStep",
    "settled_by": "settledBy",
    "heat_pattern": "heatPattern",
}
"""Key of the command's JSON -> name in the page's engine."""
JUDGE = """([readings, UNIT]) => readings.map((one) => {
  const typed = Object.fromEntries(Object.entries(one).map(([k, v]) => [k, v === null ? NaN : v]));
  const { reading, ...found } = judge(DATA, typed);
  const plain = { ...reading, ...found };
  plain.heatRatioLow = found.heatRatio - found.heatRatioHalf;
  plain.heatRatioHigh = found.heatRatio + found.heatRatioHalf;
  plain.next = measureNext(DATA, typed, { reading, ...found });
  plain.sentences = plain.next.map((next) =>
    nextSentence({ reading, ...found }, next, shownIn(UNIT)).replaceAll("\u00a0", " "));
  plain.rests = restsOn(DATA, { reading, ...found }, shownIn(UNIT))
    .map((text) => text.replaceAll("\u00a0", " "));
  plain.isHanging = hangsOnFloor(found, plain.next);
  plain.paragraph = reportParagraph(DATA, { reading, ...found }, plain.next, shownIn(UNIT), UNIT);
  plain.ladders = ladderSentences(DATA, { reading, ...found }, shownIn(UNIT));
  return JSON.parse(JSON.stringify(plain));
})"""


def typed(one: Reading) -> dict[str, Any]:
    """Name a reading as the page does."""
    return {
        "deviceClass": one.device_class,
        "poles": one.poles,
        "ratedA": one.rated_a,
        "make": one.make or "not noted",
        "ambientDegc": one.ambient_degc,
        "deviceDegc": one.device_degc,
        "currentA": one.current_a,
        "minutes": one.load_minutes,
        "terminationDegc": one.termination_degc,
        "conductorDegc": one.conductor_degc,
        "floorDegc": one.floor_degc,
    }


def _pairs(said: dict[str, Any], found: dict[str, Any]) -> Iterator[tuple[str, Any, Any]]:
    """Yield name, the command's value, the page's value."""
    for key, name in KEYS.items():
        yield key, said[key], found.get(name)
    for key, name in (("hotter_count", "hotterCount"), ("comparable_count", "comparableCount")):
        yield key, said["rank"][key], found.get(name)
    yield "p_value", said["rank"]["p_value"], found.get("pValue")
    for target, name in zip(said["projected"], ("at80", "at100"), strict=True):
        for key, part in (("rise_k", "at"), ("low_k", "low"), ("high_k", "high")):
            yield f"{name}.{key}", target[key], found[name].get(part)


def differs(want: Any, got: Any, spare: float = 0.0) -> bool:
    if isinstance(want, float) and isinstance(got, int | float):
        return not math.isclose(want, got, rel_tol=RELATIVE, abs_tol=max(LEAST, spare))
    return want != got


def slack(key: str, probability: float) -> float:
    """Return what rounding leaves open where a chance is nearly certain: of its logarithm."""
    is_certain = 1.0 - probability < NEARLY_CERTAIN
    return {"score": 1e-3, "flip_chance": 1e-5}.get(key, 0.0) if is_certain else 0.0


def differences(said: dict[str, Any], found: dict[str, Any]) -> list[str]:
    return [
        f"{key}: {want!r} against {got!r}"
        for key, want, got in _pairs(said, found)
        if differs(want, got, slack(key, said["probability"]))
    ]


def judged(page: Page, given: list[Reading]) -> list[dict[str, Any]]:
    found = []
    for start in range(0, len(given), 250):
        found += page.evaluate(
            JUDGE, [[typed(one) for one in given[start : start + 250]], given[0].unit]
        )
    return found
