"""A reading laid in its band, as two lines of text."""

from __future__ import annotations

from typing import Any

from analytics.opinion.reading import shown_rise

WIDTH = 61
"""Characters of the scale; chosen to fit a phone on its side and any terminal."""
THIS, USUAL, LOW, HIGH = "X", "|", "[", "]"


def picture(row: dict[str, Any], unit: str) -> str:
    """Return the scale from no rise to a tenth above the hottest point, and its ends below.

    `[` to `]` hold 95 % of healthy ones, `|` is the expected rise, `X` this reading.
    """
    points = {LOW: row["lower_k"], HIGH: row["upper_k"], USUAL: row["expected_rise_k"]}
    known = {mark: value for mark, value in points.items() if value is not None}
    values = [*known.values(), row["rise_k"]]
    start = min(0.0, *values)
    stop = max(values) + 0.1 * max(max(values) - start, 1.0)

    def at(value: float) -> int:
        return round((WIDTH - 1) * (value - start) / (stop - start))

    line = ["."] * WIDTH
    if known:
        first, last = at(known[LOW]), at(known[HIGH])
        line[first : last + 1] = "=" * (last + 1 - first)
    for mark, value in known.items():
        line[at(value)] = mark
    line[at(row["rise_k"])] = THIS
    left, right = shown_rise(start, unit), shown_rise(stop, unit)
    ends = left + right.rjust(WIDTH - len(left))
    return "\n".join(["".join(line), ends])
