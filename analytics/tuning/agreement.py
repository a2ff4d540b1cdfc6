"""How far inspectors, cameras and clamps agree on the same device, from repeated scans."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from analytics.errors import NotEnoughDataError, UsageError
from analytics.statistics.agreement import Agreement, by_ranges, by_variances, variance_table
from analytics.statistics.sourced import numbers
from analytics.tuning.repeats import (
    Offset,
    Repeat,
    Study,
    as_repeat,
    hanging_together,
    largest_study,
    offsets,
)
from analytics.tuning.telling import TEXT_WIDTH
from analytics.warehouse import Warehouse

MOST_DAYS = 30
"""Days that two readings of a device may lie apart to count as repeated [d]; chosen."""
LOAD_STEP = 0.05
"""How much the load may differ between them, of rating [1]; chosen: the rise of a device at half
its rating then moves by a fifth of its load-driven part at most."""
CLAMP_SHARE = 0.2
"""Least load at which clamps are set side by side, of rating [1]; chosen: below, their last digits
speak."""
CONFOUNDED = 0.8
"""Share of pairs with two cameras and two inspectors too, from which it is told [1]; chosen."""
OFFSETS = "Offset against those it was set beside, with its 95 % interval:"
HOW_TO = (
    "How to make some: two or three inspectors scan the same ten devices, cool and hot ones of "
    "several panels, twice each on one day with the loads left on, each round under an inspection "
    "number of its own; nobody sees the others' readings. Cameras and clamps change hands between "
    "the rounds."
)


@dataclass(frozen=True)
class Spread:
    """A standard deviation [K] with its 95 % interval, and how many pairs it rests on."""

    value_k: float
    low_k: float
    high_k: float
    visits: int
    devices: int


@dataclass(frozen=True)
class Crossed:
    """A study in which every inspector read every device alike often, by both methods [K].

    `by_ranges` is None with more devices than its table knows; `interaction_k2` is the variance
    [K²] of inspectors who differ by device as estimated, before one below nil is clipped.
    """

    inspectors: tuple[str, ...]
    devices: int
    repeats: int
    by_ranges: Agreement | None
    by_variances: Agreement
    interaction_k2: float


@dataclass(frozen=True)
class Agreed:
    """What repeated scans tell. Spreads [K]; offsets of inspectors and cameras [K], clamps [1].

    `same_way` is the spread of one reading when the same inspector repeats it with the same camera,
    `other_way` when somebody else or another camera does; None without such pairs.
    """

    pairs: int
    devices: int
    visits: int
    same_way: Spread | None
    other_way: Spread | None
    reproducibility_k: float | None
    crossed: Crossed | None
    offsets: tuple[Offset, ...]
    sentence: str
    remarks: tuple[str, ...]

    def lines(self) -> list[str]:
        """Return it in plain words, the sentence that matters first."""
        parts = [self.sentence, *self._spreads(), *self.remarks]
        return [
            *(line for one in parts for line in textwrap.wrap(one, TEXT_WIDTH)),
            *(["", OFFSETS] if self.offsets else []),
            *(offset_words(one) for one in self.offsets),
        ]

    def _spreads(self) -> list[str]:
        rows = []
        if self.crossed:
            one = self.crossed
            rows = [
                f"Study of {one.devices} devices by {len(one.inspectors)} inspectors, "
                f"{one.repeats} times each: {study_words(one.by_variances)} by analysis of variance"
                + (f"; {study_words(one.by_ranges)} by ranges." if one.by_ranges else ".")
            ]
        return rows


def agreement(warehouse: Warehouse) -> Agreed:
    """Find repeated readings of the same device and say how far they agree.

    The store may be open to be read only. Raises NotEnoughDataError before a fit.
    """
    if not warehouse.has_table("normalise.reading"):
        raise NotEnoughDataError("Nothing has been fitted yet.", "Run loadrise fit first.")
    rows = warehouse.rows(
        "tuning.repeat", most_days=MOST_DAYS, load_step=LOAD_STEP, clamp_share=CLAMP_SHARE
    )
    repeats = [as_repeat(row) for row in rows]
    same = _spread([one for one in repeats if one.is_same_way])
    other = _spread([one for one in repeats if one.is_other_way])
    study = largest_study(repeats)
    return Agreed(
        len(repeats),
        len({(one.panel_id, one.position) for one in repeats}),
        len({one.visits for one in repeats}),
        same,
        other,
        _reproducibility(same, other),
        _crossed(study) if study else None,
        _offsets(repeats),
        _sentence(repeats, same, other),
        _remarks(repeats, study),
    )


def _spread(repeats: Sequence[Repeat]) -> Spread | None:
    """Return the spread of one reading: half the mean square of the differences, rooted.

    Devices of one pair of visits share their air, so the interval counts visits, less one for each
    lot that hangs together.
    """
    from scipy.special import chdtri

    if not repeats:
        return None
    visits = {one.visits for one in repeats}
    first = hanging_together(visits)
    freedom = len(first) - len(set(first.values()))
    variance = float(np.mean([one.change_k**2 for one in repeats])) / 2
    low, high = (variance * freedom / float(chdtri(freedom, tail)) for tail in (0.025, 0.975))
    roots = [float(np.sqrt(one)) for one in (variance, low, high)]
    return Spread(roots[0], roots[1], roots[2], len(visits), len(repeats))


def _reproducibility(same: Spread | None, other: Spread | None) -> float | None:
    """Return the spread that another inspector or camera adds; one below nil counts as nil."""
    if same is None or other is None:
        return None
    return float(np.sqrt(max(other.value_k**2 - same.value_k**2, 0.0)))


def _crossed(study: Study) -> Crossed:
    cube = numbers(study.rises_k)
    people, repeats, devices = cube.shape
    assert people == len(study.inspectors)
    try:
        ranges = by_ranges(cube)
    except UsageError:
        ranges = None
    return Crossed(
        study.inspectors,
        devices,
        repeats,
        ranges,
        by_variances(cube),
        variance_table(cube).interaction_variance,
    )


def _offsets(repeats: Sequence[Repeat]) -> tuple[Offset, ...]:
    return (
        *offsets("camera", [(one.visits, one.cameras, one.change_k) for one in repeats]),
        *offsets("inspector", [(one.visits, one.inspectors, one.change_k) for one in repeats]),
        *offsets(
            "clamp",
            [(one.visits, one.clamps, one.current_change) for one in repeats if one.is_for_clamps],
        ),
    )


def _sentence(repeats: Sequence[Repeat], same: Spread | None, other: Spread | None) -> str:
    if not repeats:
        return (
            f"No device was scanned twice within {MOST_DAYS} days at a like load (within "
            f"{100 * LOAD_STEP:g} % of rating), so nobody knows how far inspectors and cameras "
            f"agree. {HOW_TO}"
        )
    parts = [
        f"{one.value_k:.1f} K ({one.low_k:.1f} to {one.high_k:.1f}) {how}, from {one.devices:,} "
        f"pairs of readings in {one.visits:,} pairs of visits"
        for one, how in (
            (same, "where the same inspector and camera repeat it"),
            (other, "where another inspector or camera does"),
        )
        if one
    ]
    if not parts:
        return (
            f"Devices were scanned twice, {len(repeats):,} pairs of readings in all, but who read "
            f"them with which camera was not noted. {HOW_TO}"
        )
    return f"A rise is known to a standard deviation of {'; of '.join(parts)}."


def _remarks(repeats: Sequence[Repeat], study: Study | None) -> tuple[str, ...]:
    if not repeats:
        return ()
    found = []
    if study is None:
        found.append(
            "No two inspectors read the same two devices twice each, so a study by ranges or "
            f"variances cannot be drawn up. {HOW_TO}"
        )
    apart = [one for one in repeats if one.cameras[0] != one.cameras[1]]
    both = sum(one.inspectors[0] != one.inspectors[1] for one in apart)
    if apart and both >= CONFOUNDED * len(apart):
        found.append(
            f"Of {len(apart):,} pairs of readings with two cameras, {both:,} had two inspectors "
            "too: the offsets of the two can hardly be told apart. Let cameras change hands."
        )
    if not any(one.is_for_clamps and one.clamps[0] != one.clamps[1] for one in repeats):
        found.append(
            "No two clamps were set beside each other on one day, so their offsets are not known."
        )
    return tuple(found)


def study_words(one: Agreement) -> str:
    """Say the spreads of a study."""
    return (
        f"repeatability {one.repeat:.2f} K, between inspectors {one.inspector:.2f} K, by device "
        f"{one.interaction:.2f} K, the measuring {one.measuring:.2f} K of {one.total:.2f} K in all"
    )


def offset_words(one: Offset) -> str:
    """Say how much one reads above the others."""
    scale, unit, digits = (100.0, "%", 1) if one.subject == "clamp" else (1.0, "K", 2)
    value, low, high = (scale * number for number in (one.value, one.low, one.high))
    ends = "too few to tell" if np.isnan(low) else f"{low:+.{digits}f} to {high:+.{digits}f}"
    return (
        f"  {one.subject} {one.name}: {value:+.{digits}f} {unit} ({ends}), {one.visits:,} pairs of "
        "visits"
    )
