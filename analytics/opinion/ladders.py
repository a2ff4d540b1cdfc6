"""Published ladders of temperature differences, set beside a reading for reference only."""

from __future__ import annotations

from typing import Any

from analytics.statistics.figures import WORRY_RISE
from analytics.statistics.ladders import OVER_AMBIENT, OVER_SIMILAR, Ladder

TITLES = {
    "over_ambient": OVER_AMBIENT.title,
    "over_similar": f"over the usual of its class, as if read {OVER_SIMILAR.title}",
}


def beside(rise_k: float, lift_k: float | None) -> list[dict[str, Any]]:
    """Return what each ladder says of a rise over ambient [K] and over its like [K]."""
    found = [_ladder("over_ambient", OVER_AMBIENT, rise_k)]
    if lift_k is not None:
        found.append(_ladder("over_similar", OVER_SIMILAR, lift_k))
    reached = "reached" if rise_k >= WORRY_RISE.value else "not reached"
    worry = {
        "code": "worry_rise",
        "title": "rise at which a practitioner starts to worry, whatever the class",
        "value_k": rise_k,
        "edge_k": WORRY_RISE.value,
        "band": reached,
        "source": WORRY_RISE.known,
    }
    return [*found, worry]


def _ladder(code: str, ladder: Ladder, value_k: float) -> dict[str, Any]:
    return {
        "code": code,
        "title": TITLES[code],
        "value_k": value_k,
        "edge_k": None,
        "band": ladder.word(value_k),
        "source": ladder.source,
    }


def tables() -> list[dict[str, Any]]:
    """Return the ladders themselves, for a page that looks a rise up."""
    pairs = (("over_ambient", OVER_AMBIENT), ("over_similar", OVER_SIMILAR))
    return [
        {
            "code": code,
            "title": one.title,
            "first_k": one.first_k,
            "edges_k": list(one.edges_k),
            "words": list(one.words),
            "source": one.source,
        }
        for code, one in pairs
    ]
