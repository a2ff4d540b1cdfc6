"""An opinion as lines of text for a terminal."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator
from typing import Any

from analytics import columns
from analytics.opinion.ladders import PREFACE
from analytics.opinion.reading import shown_rise
from analytics.opinion.remarks import FLOOR_MAY_TURN
from analytics.opinion.words import chance, times

Opinion = dict[str, Any]

TEXT_WIDTH = 96
LABEL_WIDTH = 12
HOLD = "\N{NO-BREAK SPACE}"
_QUANTITY = re.compile(r"(\d) (?=°F|°C|K\b|%|A\b)")
URGENT = ("floor_decides", "cool_as_air")
"""Notices that stand before the next step."""
LEAST_DROP = 0.01
"""Least fall of a chance that is worth telling [1]; chosen."""


def lines(opinion: Opinion) -> list[str]:
    """Return the opinion line by line, the verdict first."""
    head = opinion["verdict"].replace("_", " ").capitalize()
    found = [f"{head}: {opinion['verdict_words']}.", *_plain(opinion["reason"])]
    urgent = [one["sentence"] for one in opinion["notices"] if one["code"] in URGENT]
    found += [line for one in urgent for line in _plain(one)]
    found += [*_plain(opinion["next_step"]), "", *_figures(opinion)]
    sections = (
        ("What would settle it", _settling(opinion)),
        ("Most alike", _cases(opinion)),
        (f"Published ladders. {PREFACE}", [one["sentence"] for one in opinion["ladders"]]),
        ("What this rests on", _basis(opinion)),
        ("For the report", [opinion["paragraph"]]),
        ("Cautions", opinion["cautions"]),
    )
    for title, entries in sections:
        found += ["", title, *(line for entry in entries for line in _plain(entry))]
    return found


def _plain(text: str) -> list[str]:
    return _wrapped(text, "  ", "    ")


def _wrapped(text: str, first: str, later: str) -> list[str]:
    """Break a text into lines; a number keeps its unit beside it."""
    held = _QUANTITY.sub(f"\\1{HOLD}", text)
    found = textwrap.wrap(held, TEXT_WIDTH, initial_indent=first, subsequent_indent=later)
    return [line.replace(HOLD, " ") for line in found]


def _labelled(label: str, text: str) -> list[str]:
    return _wrapped(text, f"  {label:<{LABEL_WIDTH}}", " " * (LABEL_WIDTH + 2))


def _figures(opinion: Opinion) -> Iterator[str]:
    unit, load = opinion["unit"], opinion["load_fraction"]
    share = "no current" if load is None else f"{100 * load:.0f} % of rating"
    yield from _labelled("Rise", f"{shown_rise(opinion['rise_k'], unit)} over the air, {share}")
    if opinion["expected_rise_k"] is not None:
        yield from _band(opinion)
    yield from _labelled("Rank", opinion["rank"]["sentence"])
    if opinion["heat_ratio"] is not None:
        low, high = (max(opinion[f"heat_ratio_{end}"], 0.0) for end in ("low", "high"))
        ratio = f"{max(opinion['heat_ratio'], 0.0):.1f} times the usual ({low:.1f} to {high:.1f})"
        yield from _labelled("Heat", f"{ratio} for its current")
    for one in opinion["projected"]:
        if one["rise_k"] is not None:
            low, high = (shown_rise(one[end], unit) for end in ("low_k", "high_k"))
            rise = f"{shown_rise(one['rise_k'], unit)} ({low} to {high})"
            yield from _labelled(f"At {100 * one['load_fraction']:.0f} %", f"{rise} of rise")
    if load is not None:
        yield from _labelled("Fault", f"a chance of {chance(opinion['probability'])}")
    if opinion["flip_chance"] is not None:
        turn = f"{chance(opinion['flip_chance'])} that the instruments' errors turn the verdict"
        if any(one["code"] == "floor_decides" for one in opinion["notices"]):
            turn += f"; {FLOOR_MAY_TURN}"
        yield from _labelled("Borderline", turn)


def _band(opinion: Opinion) -> Iterator[str]:
    names = ("expected_rise_k", "lower_k", "upper_k")
    usual, low, high = (shown_rise(opinion[name], opinion["unit"]) for name in names)
    yield from _labelled("Expected", f"{usual}; 95 % of healthy ones from {low} to {high}")
    for line in opinion["picture"].split("\n"):
        yield " " * (LABEL_WIDTH + 2) + line
    yield from _labelled("", opinion["place_sentence"])


def _settling(opinion: Opinion) -> Iterator[str]:
    """Yield the measurements worth taking: those that move a chance or the smallest fault seen."""
    worth = [one["sentence"] for one in opinion["measure_next"] if _moves(one)]
    yield from worth or ["No further reading would tell much more than this one does."]


def _moves(one: Opinion) -> bool:
    """Tell whether a measurement may move a chance by LEAST_DROP, or the smallest fault noticed."""
    if one["code"] in ("minutes", "load"):
        return times(one["smallest_ratio"]) != times(one["smallest_ratio_then"])
    ends = {"termination": ("probability_if_usual", "probability_if_hot")}.get(one["code"])
    if one["code"] == "floor":
        ends = ("probability_if_low", "probability_if_high")
    first, last = (one[name] for name in ends or ("flip_chance", "flip_chance_then"))
    return abs(first - last) >= LEAST_DROP


def _cases(opinion: Opinion) -> Iterator[str]:
    yield opinion["case_sentence"]
    for case in opinion["cases"]:
        load = case["load_fraction"]
        share = "no current" if load is None else f"{100 * load:.0f} % of rating"
        where = f"{case['inspection_id']}, {case['panel_id']}, slot {case['position']}"
        rise = shown_rise(case["rise_k"], opinion["unit"])
        what = columns.FINDINGS[case["finding"]]
        yield f"{where}: {rise} at {share}, {case['verdict'].replace('_', ' ')}; {what}."


def _basis(opinion: Opinion) -> Iterator[str]:
    learned = opinion["learned_from"]
    yield (
        f"Baseline {opinion['baseline_version']} of {opinion['baseline_fitted_at'][:10]}, policy "
        f"{opinion['policy_version']}; {learned['reading_count']:,} readings of its class, worth "
        f"{round(learned['effective_count']):,} at full load."
    )
    for notice in opinion["notices"]:
        yield notice["sentence"]
