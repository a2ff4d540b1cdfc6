"""Whether the healthy interval holds what it says, and whether p values are flat."""

from __future__ import annotations

from collections.abc import Sequence

from analytics.columns import CLASS_WORDS, LOAD_WORDS
from dashboards import theme
from dashboards.diagnostics import LEAST_COUNT
from dashboards.diagnostics_records import Coverage, DiagnosticsRecord
from dashboards.figures import bins, grid
from dashboards.pages.diagnostics_words import Card, Section, most
from dashboards.pages.parts import Table, count, figure, listed, table

AIM, AIM_LOW, AIM_HIGH = 0.95, 0.935, 0.965
"""What the healthy interval is made for, and where its share counts as met [1]; chosen: 1.5 points
either way, half of what the faulty readings of a fleet usually take away."""
EXCESS = 1.2
"""Times the flat height from which the first twentieth is called an excess [1]; chosen."""
ASKS = (
    "Whether 19 of 20 readings lie inside their healthy 95 % interval, in every class and at every "
    "load, and whether p values are spread evenly."
)


def section(record: DiagnosticsRecord) -> Section:
    """Return the section; where nothing was screened it says so."""
    heading = "Does the healthy interval hold"
    whole = [row for row in record.coverage if row.load_band == 0]
    if not whole:
        return Section(
            "coverage", heading, ASKS, "No reading has an interval yet: nothing with a current was "
            "screened.",
        )  # fmt: skip
    cards = [_grid_card(record.coverage)]
    if sum(one.residual_count for one in record.p_values):
        cards.append(_p_card(record))
    return Section("coverage", heading, ASKS, _answer(record), tuple(cards))


def inside(record: DiagnosticsRecord) -> tuple[int, int]:
    """Return how many readings lie inside their interval, and of how many."""
    whole = [row for row in record.coverage if row.load_band == 0]
    return sum(row.inside_count for row in whole), sum(row.reading_count for row in whole)


def _answer(record: DiagnosticsRecord) -> str:
    held, total = inside(record)
    if total < LEAST_COUNT:
        return f"{count(total, 'reading')} with an interval: {LEAST_COUNT} are needed to test it."
    whole = [row for row in record.coverage if row.load_band == 0]
    above = sum(row.above_count for row in whole) / total
    below = sum(row.below_count for row in whole) / total
    off = [row for row in record.coverage if row.load_band and standing(row) in ("below", "above")]
    start = (
        f"{theme.share(held / total)} of {total:,} readings lie inside, {theme.share(above)} above "
        f"and {theme.share(below)} below; faulty ones lie above, so a little under 95 % is right."
    )
    fair = sum(row.load_band > 0 and row.reading_count >= LEAST_COUNT for row in record.coverage)
    if not fair:
        return f"{start} No class has {LEAST_COUNT} readings in a load band: too few to tell."
    if not off:
        return f"{start} None of the {fair} classes by load stands off."
    names = listed(most([f"{_name(row)} at {LOAD_WORDS[row.load_band - 1]}" for row in off]))
    return f"{start} Off among {fair} classes by load: {names}."


def standing(row: Coverage) -> str:
    """Say how a share stands: few readings, usual, or surely below or above the aim."""
    if row.reading_count < LEAST_COUNT or row.inside_low is None or row.inside_high is None:
        return "few"
    if row.inside_high < AIM_LOW:
        return "below"
    return "above" if row.inside_low > AIM_HIGH else "usual"


def _name(row: Coverage) -> str:
    return CLASS_WORDS.get(row.device_class, row.device_class)


def _grid_card(rows: Sequence[Coverage]) -> Card:
    classes = [name for name in CLASS_WORDS if any(r.device_class == name for r in rows)]
    cells = [
        grid.GridCell(
            row=classes.index(row.device_class),
            band=row.load_band,
            text=f"{100 * row.share:.0f}" if row.reading_count >= LEAST_COUNT else "·",
            standing=standing(row),
            words=_words(row),
        )
        for row in rows
    ]
    picture = grid.figure([CLASS_WORDS[name] for name in classes], cells)
    sentence = (
        "Readings inside their healthy interval, in percent: ▾ surely under 93.5, ▴ surely over "
        f"96.5, a point where there are fewer than {LEAST_COUNT}."
    )
    return Card("By class and load", figure("coverage", sentence, picture, _table(rows)))


def _words(row: Coverage) -> str:
    return (
        f"{_name(row)}, {_band(row)}: {row.inside_count:,} of {row.reading_count:,} inside, "
        f"{theme.share(row.share)} ({theme.interval(row.inside_low, row.inside_high)})"
    )


def _band(row: Coverage) -> str:
    return LOAD_WORDS[row.load_band - 1] if row.load_band else "all loads"


def _table(rows: Sequence[Coverage]) -> Table:
    headers = ("class", "load", "readings", "below", "inside", "above", "share", "95 % interval")
    body = [
        (
            _name(row),
            _band(row),
            f"{row.reading_count:,}",
            f"{row.below_count:,}",
            f"{row.inside_count:,}",
            f"{row.above_count:,}",
            theme.share(row.share),
            theme.interval(row.inside_low, row.inside_high),
        )
        for row in rows
    ]
    return table("Readings inside their healthy 95 % interval", headers, body, text_columns=2)


def _p_card(record: DiagnosticsRecord) -> Card:
    rows = record.p_values
    flat = sum(row.residual_count for row in rows) / len(rows)
    first, rest = rows[0].residual_count / flat, [r.residual_count / flat for r in rows[1:]]
    words = (
        "more hot ones than chance brings, faults among them,"
        if first > EXCESS
        else "near its share"
    )
    sentence = (
        "Chance that a healthy reading is as hot, from its residual, in twentieths; the dotted "
        f"line is flat. The lowest holds {first:.1f} times its share, {words} and the others "
        f"{min(rest):.1f} to {max(rest):.1f} times."
    )
    bars = [
        bins.Bin(row.residual_count, f"{row.low:.2f} to {row.high:.2f}: {row.residual_count:,}")
        for row in rows
    ]
    edges = [f"{row.low:.1f}" if row.bin % 4 == 0 else "" for row in rows]
    picture = bins.figure(bars, [*edges, "1.0"], "p value", expected=flat)
    body = [
        (
            f"{row.low:.2f} to {row.high:.2f}",
            f"{row.residual_count:,}",
            f"{row.residual_count / flat:.2f}",
            f"{row.rank_count:,}",
        )
        for row in rows
    ]
    headers = ("p value", "by residual", "times the flat share", "by rank")
    made = table("P values by twentieths; ranks are flat by their making", headers, body)
    return Card("P values", figure("p-values", sentence, picture, made))
