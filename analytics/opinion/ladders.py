"""Published ladders of temperature differences, set beside a reading for reference only."""

from __future__ import annotations

from typing import Any

from analytics.opinion.reading import shown_rise
from analytics.statistics.figures import WORRY_RISE
from analytics.statistics.ladders import OVER_AMBIENT, OVER_SIMILAR, Ladder

PREFACE = "For reference; they ignore the current."
LADDERS: dict[str, tuple[Ladder, str]] = {
    "over_ambient": (OVER_AMBIENT, f"{OVER_AMBIENT.title} at the face"),
    "over_similar": (
        OVER_SIMILAR,
        f"over the usual of its class at the face, as if read {OVER_SIMILAR.title}",
    ),
    "termination_over_ambient": (OVER_AMBIENT, f"{OVER_AMBIENT.title} at the termination"),
}
"""Code -> ladder and what its difference is taken over here."""
WORRY_TITLE = "rise at which a practitioner starts to worry, whatever the class"
LADDER_SENTENCE = "{value} {title}: {band} ({source})."
WORRY_SENTENCE = "{value} over ambient, the {title}: {band} ({source})."


def beside(
    rise_k: float, lift_k: float | None, termination_rise_k: float | None, unit: str
) -> list[dict[str, Any]]:
    """Return what each ladder says of a face over ambient and its like, a termination [K]."""
    found = [_ladder("over_ambient", rise_k, unit)]
    if lift_k is not None:
        found.append(_ladder("over_similar", lift_k, unit))
    if termination_rise_k is not None:
        found.append(_ladder("termination_over_ambient", termination_rise_k, unit))
    hottest = rise_k if termination_rise_k is None else max(rise_k, termination_rise_k)
    worry = {
        "code": "worry_rise",
        "title": WORRY_TITLE,
        "value_k": hottest,
        "edge_k": WORRY_RISE.value,
        "band": "reached" if hottest >= WORRY_RISE.value else "not reached",
        "source": WORRY_RISE.known,
    }
    edge = shown_rise(WORRY_RISE.value, unit)
    return [*found, {**worry, "sentence": WORRY_SENTENCE.format(value=edge, **worry)}]


def _ladder(code: str, value_k: float, unit: str) -> dict[str, Any]:
    ladder, title = LADDERS[code]
    found = {
        "code": code,
        "title": title,
        "value_k": value_k,
        "edge_k": None,
        "band": ladder.word(value_k),
        "source": ladder.source,
    }
    sentence = LADDER_SENTENCE.format(value=shown_rise(value_k, unit), **found)
    return {**found, "sentence": sentence}


def tables() -> dict[str, Any]:
    """Return the ladders themselves and their sentences, for a page that looks a rise up."""
    ladders = {
        code: {
            "title": title,
            "first_k": one.first_k,
            "edges_k": list(one.edges_k),
            "words": list(one.words),
            "source": one.source,
        }
        for code, (one, title) in LADDERS.items()
    }
    worry = {"title": WORRY_TITLE, "edge_k": WORRY_RISE.value, "source": WORRY_RISE.known}
    sentences = {"ladder_sentence": LADDER_SENTENCE, "worry_sentence": WORRY_SENTENCE}
    return {**ladders, "worry": worry, **sentences, "preface": PREFACE}
