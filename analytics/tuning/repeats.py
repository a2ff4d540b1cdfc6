"""Repeated scans of one device: pairs, the crossed study among them, offsets from differences."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from analytics.statistics.multiplicity import benjamini_hochberg
from analytics.statistics.sourced import Array, numbers

MOST_PEOPLE = 6
"""Inspectors among whom the largest study is sought [1]; chosen: those with the most devices."""
MOST_REPEATS = 5
"""Repeats that the method of ranges knows [1]."""

FALSE_SHARE = 0.05
"""Share of false ones among cameras, inspectors or clamps said to stand apart [1]; chosen, as the
trends do."""


@dataclass(frozen=True)
class Repeat:
    """Two readings of one device: where, in which visits, by whom with what; rise [K], current [A].

    Ids are pairs, the earlier reading first; what was not noted is empty.
    """

    readings: tuple[int, int]
    panel_id: str
    position: int
    visits: tuple[int, int]
    inspectors: tuple[str, str]
    cameras: tuple[str, str]
    clamps: tuple[str, str]
    rises_k: tuple[float, float]
    currents_a: tuple[float, float]
    is_for_clamps: bool
    """Whether both were read on one day under enough load to set their clamps side by side."""

    @property
    def is_same_way(self) -> bool:
        """Whether the same inspector read it with the same camera, both noted."""
        pairs = (self.inspectors, self.cameras)
        return all(one and one == other for one, other in pairs)

    @property
    def is_other_way(self) -> bool:
        """Whether another inspector or another camera read it, as noted."""
        pairs = (self.inspectors, self.cameras)
        return any(one and other and one != other for one, other in pairs)

    @property
    def change_k(self) -> float:
        """The earlier rise minus the later one [K]."""
        return self.rises_k[0] - self.rises_k[1]

    @property
    def current_change(self) -> float:
        """The earlier current minus the later one over their mean [1]; nil where neither flows."""
        total = sum(self.currents_a)
        return 2 * (self.currents_a[0] - self.currents_a[1]) / total if total else 0.0


@dataclass(frozen=True)
class Study:
    """Devices that several inspectors read alike often.

    Rises [K], shape (inspectors, repeats, devices).
    """

    inspectors: tuple[str, ...]
    rises_k: Array


def as_repeat(row: Sequence[object]) -> Repeat:
    """Return a pair from a row of `tuning.repeat`."""
    plain: list[object] = list(row)
    plain[6:12] = [name or "" for name in plain[6:12]]
    pairs = [(plain[i], plain[i + 1]) for i in range(4, 16, 2)]
    first = (plain[0], plain[1])
    return Repeat(first, plain[2], plain[3], *pairs, plain[16])  # type: ignore[arg-type,call-arg]


def largest_study(repeats: Sequence[Repeat]) -> Study | None:
    """Return the largest table in which every inspector read every device alike often, two or more.

    Largest by number of readings; None where there is none of two devices.
    """
    read = _by_device(repeats)
    often: dict[str, int] = defaultdict(int)
    for device in read.values():
        for person, rises in device.items():
            often[person] += len(rises) > 1
    people = sorted((p for p in often if often[p] and p), key=lambda p: (-often[p], p))
    best: Study | None = None
    for size in range(2, len(people[:MOST_PEOPLE]) + 1):
        for group in combinations(people[:MOST_PEOPLE], size):
            for times in range(2, MOST_REPEATS + 1):
                found = _study(read, group, times)
                if found and (best is None or found.rises_k.size > best.rises_k.size):
                    best = found
    return best


def _study(
    read: dict[int, dict[str, list[float]]], group: tuple[str, ...], times: int
) -> Study | None:
    devices = [d for d in read.values() if all(len(d.get(p, ())) >= times for p in group)]
    if len(devices) < 2:
        return None
    cube = [[[device[p][i] for device in devices] for i in range(times)] for p in group]
    return Study(group, numbers(cube))


def hanging_together(pairs: Iterable[tuple[int, int]]) -> dict[int, int]:
    """Return the least number of those that each hangs together with, by way of pairs."""
    root: dict[int, int] = {}

    def top(one: int) -> int:
        while root.setdefault(one, one) != one:
            one = root[one]
        return one

    for pair in pairs:
        low, high = sorted(top(one) for one in pair)
        root[high] = low
    return {one: top(one) for one in list(root)}


def _by_device(repeats: Sequence[Repeat]) -> dict[int, dict[str, list[float]]]:
    """Return rises in order of reading by device and inspector; what hangs together is a device."""
    known: dict[int, tuple[str, float]] = {}
    first = hanging_together(pair.readings for pair in repeats)
    for pair in repeats:
        both = zip(pair.readings, pair.inspectors, pair.rises_k, strict=True)
        known.update({one: (person, rise) for one, person, rise in both})
    found: dict[int, dict[str, list[float]]] = defaultdict(lambda: defaultdict(list))
    for one in sorted(known):
        person, rise = known[one]
        found[first[one]][person].append(rise)
    return found


@dataclass(frozen=True)
class Offset:
    """How much one camera, inspector or clamp reads above the mean of those it was set against.

    Value with its 95 % interval, in K or, of clamps, as a share; ends are NaN with too few pairs.
    `visits` counts the pairs of visits, `devices` the pairs of readings. `is_apart` allows for all
    of its kind compared together (Benjamini and Hochberg).
    """

    subject: str
    name: str
    value: float
    low: float
    high: float
    visits: int
    devices: int
    is_apart: bool = False


def offsets(
    subject: str, rows: Sequence[tuple[tuple[int, int], tuple[str, str], float]]
) -> tuple[Offset, ...]:
    """Return the offsets of all levels that were set against another, by least squares.

    Takes (visits, levels, difference) of each pair of readings. Devices of one pair of visits share
    their air and count as one, their mean. In a lot of k visits that hang together every pair
    weighs 1/k: where all were set against all that is the fit with an effect of each lot, and its
    errors. Offsets add up to nil among those that hang together.
    """
    from scipy.special import stdtr, stdtrit

    cells: dict[tuple[tuple[int, int], tuple[str, str]], list[float]] = defaultdict(list)
    for visits, levels, change in rows:
        if all(levels):
            cells[visits, levels].append(change)
    if not (names := sorted({n for _, both in cells for n in both if both[0] != both[1]})):
        return ()
    first = hanging_together(visits for visits, _ in cells)
    lots = Counter(first.values())
    design = np.array([[(n == a) - (n == b) for n in names] for _, (a, b) in cells], float)
    mean = np.array([float(np.mean(values)) for values in cells.values()])
    weight = np.array([1 / lots[first[visits[0]]] for visits, _ in cells])
    inverse = np.linalg.pinv((design * weight[:, None]).T @ design, hermitian=True)
    value = inverse @ (design.T @ (weight * mean))
    freedom = len(first) - len(lots) - int(np.linalg.matrix_rank(design))
    half, is_apart = np.full(len(names), np.nan), np.zeros(len(names), bool)
    if freedom > 0:
        error = float(np.sum(weight * (mean - design @ value) ** 2)) / freedom
        each = np.sqrt(error * np.diag(inverse))
        half = stdtrit(freedom, 0.975) * each
        chance = 2 * stdtr(freedom, -np.abs(value) / np.maximum(each, 1e-12))
        is_apart = benjamini_hochberg(chance) <= FALSE_SHARE
    devices = np.array([len(values) for values in cells.values()]) @ np.abs(design)
    return tuple(
        Offset(
            subject,
            name,
            float(value[i]),
            float(value[i] - half[i]),
            float(value[i] + half[i]),
            int(np.abs(design[:, i]).sum()),
            int(devices[i]),
            bool(is_apart[i]),
        )
        for i, name in enumerate(names)
    )
