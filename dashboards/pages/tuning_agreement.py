"""How far inspectors, cameras and clamps agree on the same device."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from analytics.tuning.agreement import LOAD_STEP, MOST_DAYS
from dashboards import theme
from dashboards.figures import offsets
from dashboards.pages.diagnostics_words import decimal
from dashboards.pages.parts import Figure, Table, count, figure, table
from dashboards.pages.tuning_words import Block, TuningSection

if TYPE_CHECKING:
    from analytics.statistics.agreement import Agreement
    from analytics.tuning.agreement import Agreed, Crossed, Spread
    from analytics.tuning.repeats import Offset
    from dashboards.tuning import TuningRecord

ASKS = (
    f"How far readings of the same device agree that were taken within {MOST_DAYS} days at loads "
    f"within {100 * LOAD_STEP:g} % of rating: what the measuring itself brings in, before any line "
    "is drawn."
)
SUBJECTS = {"camera": "Cameras", "inspector": "Inspectors", "clamp": "Clamps"}
MOST_LEVELS = 24
"""Levels drawn at most [1]; chosen for a phone; the table has all."""


def section(record: TuningRecord) -> TuningSection:
    """Return the section; without repeated scans it says how to make some."""
    found, heading = record.agreed, "Do the measurers agree"
    if not found.pairs:
        return TuningSection("agreement", heading, ASKS, found.sentence, (), True)
    blocks = [Block("Spread of a rise", found.remarks, None, (_spreads(found),))]
    if found.crossed:
        blocks.append(_crossed(found.crossed))
    for subject, name in SUBJECTS.items():
        rows = [one for one in found.offsets if one.subject == subject]
        if rows:
            drawn = _figure(subject, rows)
            blocks.append(Block(f"{name} against each other", (), drawn))
    return TuningSection(
        "agreement", heading, ASKS, found.sentence, tuple(blocks), is_appendix=True
    )


def _spreads(found: Agreed) -> Table:
    rows = [
        _spread("same inspector and camera", found.same_way),
        _spread("another inspector or camera", found.other_way),
        ("what the other adds", _k(found.reproducibility_k), "–", "–"),
    ]
    headers = ("repeated by", "spread, K", "readings", "visits")
    return table("Standard deviation of one rise; pairs of readings and of visits", headers, rows)


def _spread(name: str, one: Spread | None) -> tuple[str, ...]:
    if one is None:
        return (name, "–", "0", "0")
    ends = f"{_k(one.value_k)} ({_k(one.low_k)} to {_k(one.high_k)})"
    return (name, ends, f"{one.devices:,}", f"{one.visits:,}")


def _k(value: float | None) -> str:
    return decimal(value, 2)


def _crossed(found: Crossed) -> Block:
    words = (
        f"{count(found.devices, 'device')} read {found.repeats} times each by "
        f"{count(len(found.inspectors), 'inspector')}."
    )
    columns: list[tuple[str, Agreement | None]] = [
        ("by variances", found.by_variances),
        ("by ranges", found.by_ranges),
    ]
    names = (
        ("repeatability", "repeat"),
        ("between inspectors", "inspector"),
        ("inspectors who differ by device", "interaction"),
        ("the measuring in all", "measuring"),
        ("between devices", "device"),
        ("in all", "total"),
    )
    rows = [
        (name, *(_k(getattr(one, key) if one else None) for _, one in columns))
        for name, key in names
    ]
    rows.append(
        ("groups of devices told apart", *(_groups(one) for _, one in columns)),
    )
    headers = ("standard deviation, K", *(name for name, _ in columns))
    return Block("The crossed study", (words,), None, (table("Spreads", headers, rows),))


def _groups(one: Agreement | None) -> str:
    return "–" if one is None else decimal(one.categories, 1)


def _figure(subject: str, rows: Sequence[Offset]) -> Figure:
    scale, unit = (100.0, "%") if subject == "clamp" else (1.0, "K")
    ordered = sorted(rows, key=lambda one: -one.visits)
    points = [
        offsets.OffsetRow(
            theme.printable(one.name),
            scale * one.value,
            scale * (one.value if math.isnan(one.low) else one.low),
            scale * (one.value if math.isnan(one.high) else one.high),
            None,
            one.is_apart,
            f"{one.name}: {_told(one, scale)} {unit}, {one.visits:,} pairs of visits",
        )
        for one in ordered[:MOST_LEVELS]
    ]
    what = "current, share of it" if subject == "clamp" else "rise"
    apart = sum(point.is_named for point in points)
    stands = f"{apart} of {len(points)} stand apart" if apart else "none stands apart"
    alone = [p for p in points if not p.is_named and p.low < p.high and not p.low <= 0 <= p.high]
    if alone:
        misses = "interval alone misses" if len(alone) == 1 else "intervals alone miss"
        stands += f" (of {len(alone)} the {misses} 0, as by chance one in 20 does)"
    sentence = (
        f"Offset of each {subject}’s {what} from those it was set beside, with its 95 % interval; "
        f"with all comparisons allowed for (Benjamini and Hochberg) {stands}. A dot alone has too "
        "few pairs."
    )
    drawn = offsets.figure(points, f"reads above the others, {unit}")
    return figure(f"offsets-{subject}", sentence, drawn, _table(subject, ordered, scale, unit))


def _told(one: Offset, scale: float) -> str:
    value = decimal(scale * one.value, 2, is_signed=True)
    if math.isnan(one.low):
        return f"{value} (too few to tell)"
    low, high = (decimal(scale * end, 2, is_signed=True) for end in (one.low, one.high))
    return f"{value} ({low} to {high})"


def _table(subject: str, rows: Sequence[Offset], scale: float, unit: str) -> Table:
    body = [
        (theme.printable(one.name), _told(one, scale), f"{one.visits:,}", f"{one.devices:,}")
        for one in rows
    ]
    headers = (subject, f"offset, {unit}", "pairs of visits", "pairs of readings")
    return table(f"{SUBJECTS[subject]}, each against those it was set beside", headers, body)
