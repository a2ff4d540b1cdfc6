"""What could be measured next, and how much each measurement would settle.

One entry a measurement; keys that say nothing for it are None:

- `code`: current, ambient, surface (read again and averaged), minutes, load, termination, floor
- `flip_chance`, `flip_chance_then`: chance that the instruments' errors turn the verdict, now, then
- `smallest_ratio`, `smallest_ratio_then`: smallest fault noticed with 80 % chance, in times the
  usual heat; `load_fraction_then`, `load_minutes_then`: under which load, after how long
- `usual_k`, `hot_k`: rise of the termination of a healthy device, and of a bad connection behind
  this face; `probability_if_usual`, `probability_if_hot`, `verdict_if_usual`, `verdict_if_hot`
- `floor_low_k`, `floor_high_k`: how warm the panel's coolest breakers may be, one panel in ten
  below and above; `probability_if_low`, `probability_if_high`, `verdict_if_low`, `verdict_if_high`
- `sentence`
"""

from __future__ import annotations

from typing import Any

from analytics.opinion.reading import shown_rise
from analytics.opinion.words import chance, times

Row = dict[str, Any]

REPEATED = {
    "current": "Clamp its current again, with another clamp",
    "ambient": "Read the air again, with another thermometer",
    "surface": "Scan its surface again, with another camera",
}
EMPTY: Row = dict.fromkeys(
    (
        "flip_chance",
        "flip_chance_then",
        "smallest_ratio",
        "smallest_ratio_then",
        "load_fraction_then",
        "load_minutes_then",
        "usual_k",
        "hot_k",
        "probability_if_usual",
        "probability_if_hot",
        "verdict_if_usual",
        "verdict_if_hot",
        "floor_low_k",
        "floor_high_k",
        "probability_if_low",
        "probability_if_high",
        "verdict_if_low",
        "verdict_if_high",
    )
)


def measure_next(row: Row, unit: str) -> list[Row]:
    """Return the measurements that are left, each with what it would settle."""
    found = [_again(row, code) for code in REPEATED if row[f"flip_chance_{code}"] is not None]
    if "minutes" in row:
        found.append(_longer(row))
    if "load" in row:
        found.append(_more_load(row))
    if "termination_hot" in row:
        found.append(_termination(row, unit))
    if "floor_low" in row:
        found.append(_floor(row, unit))
    return found


def _again(row: Row, code: str) -> Row:
    now, then = row["flip_chance"], row[f"flip_chance_{code}"]
    sentence = (
        f"{REPEATED[code]}, and take the mean: the chance that the verdict turns goes from "
        f"{chance(now)} to {chance(then)}."
    )
    return {
        "code": code,
        **EMPTY,
        "flip_chance": now,
        "flip_chance_then": then,
        "sentence": sentence,
    }


def _noticed(row: Row, then: Row) -> Row:
    return {
        "smallest_ratio": row["smallest_ratio_seen"],
        "smallest_ratio_then": then["smallest_ratio_seen"],
        "load_fraction_then": then["load_fraction"],
        "load_minutes_then": then["load_minutes"],
    }


def _longer(row: Row) -> Row:
    then = row["minutes"]
    sentence = (
        f"Wait until {then['load_minutes']:.0f} minutes after the loads came on: the smallest "
        f"fault noticed goes from {times(row['smallest_ratio_seen'])} to "
        f"{times(then['smallest_ratio_seen'])} times the usual heat."
    )
    return {"code": "minutes", **EMPTY, **_noticed(row, then), "sentence": sentence}


def _more_load(row: Row) -> Row:
    then = row["load"]
    share = f"{100 * then['load_fraction']:.0f} % of rating"
    noticed = f"{times(then['smallest_ratio_seen'])} times the usual heat"
    if row["load_fraction"] is None:
        sentence = f"Clamp its current: at {share} a fault of {noticed} would be noticed."
    else:
        sentence = (
            f"Scan when its usual loads bring {share}: the smallest fault noticed goes from "
            f"{times(row['smallest_ratio_seen'])} to {noticed}."
        )
    return {"code": "load", **EMPTY, **_noticed(row, then), "sentence": sentence}


def _termination(row: Row, unit: str) -> Row:
    usual, hot = row["termination_usual"], row["termination_hot"]
    rises = [shown_rise(one["termination_rise_k"], unit) for one in (usual, hot)]
    sentence = (
        f"Read its termination: {rises[0]} over the air is usual and leaves a chance of a fault of "
        f"{chance(usual['probability'])}; at {rises[1]} it would be {chance(hot['probability'])}."
    )
    return {
        "code": "termination",
        **EMPTY,
        "usual_k": usual["termination_rise_k"],
        "hot_k": hot["termination_rise_k"],
        "probability_if_usual": usual["probability"],
        "probability_if_hot": hot["probability"],
        "verdict_if_usual": usual["verdict"],
        "verdict_if_hot": hot["verdict"],
        "sentence": sentence,
    }


def _floor(row: Row, unit: str) -> Row:
    low, high = row["floor_low"], row["floor_high"]
    rises = [shown_rise(one["floor_k"], unit) for one in (low, high)]
    sentence = (
        f"Read the panel's coolest breakers: if they are {rises[0]} over the air the chance of a "
        f"fault is {chance(low['probability'])}, if {rises[1]} it is {chance(high['probability'])}."
    )
    return {
        "code": "floor",
        **EMPTY,
        "floor_low_k": low["floor_k"],
        "floor_high_k": high["floor_k"],
        "probability_if_low": low["probability"],
        "probability_if_high": high["probability"],
        "verdict_if_low": low["verdict"],
        "verdict_if_high": high["verdict"],
        "sentence": sentence,
    }
