"""Where a name fits beside its mark: clear of marks, lines and other names at every width.

A figure is drawn on a phone, on a desk and on paper; a place is looked for that is clear on all of
them, as near as can be, and joined to its mark by a short line.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

Place = tuple[float, float]
Box = tuple[float, float, float, float]

RINGS = (11.0, 16.0, 22.0, 30.0, 40.0, 52.0, 66.0, 82.0, 100.0, 120.0)
"""Distances from a mark to the edge of its name that are tried [px]; chosen."""
ANGLES = 16
"""Directions that are tried [1]; chosen."""
MOST_ORDERED = 3
"""Names for which every order is tried [1]; chosen."""
ROOM = 2.0
"""Room around a name [px]; chosen."""
OUTSIDE, NAMES, RIVAL, PER_PX = 1000.0, 100.0, 40.0, 0.02
"""What it costs to lie outside, to meet a name, to lie nearer to another's mark than to its own,
and a pixel of distance [1]; chosen."""
ASTRAY, CROSSED = 0.25, 0.1
"""Share of the cost of a mark and of a line that it costs to cross it on the way [1]; chosen."""
NEARER_PX = 2.0
"""By how much another's mark must be nearer to count [px]; chosen."""


@dataclass(frozen=True)
class Space:
    """What the axes of a figure span, and the sizes between them that it is drawn at [px]."""

    x: Place
    y: Place
    sizes: Sequence[Place]

    def pixel(self, at: Place, size: Place) -> Place:
        """Return where a place lies from the lower left corner [px], upwards."""
        across = (at[0] - self.x[0]) / (self.x[1] - self.x[0])
        return size[0] * across, size[1] * (at[1] - self.y[0]) / (self.y[1] - self.y[0])


@dataclass(frozen=True)
class Obstacle:
    """A line, or a mark where both ends are one, as thick as `radius` [px]; what it costs to meet.

    A name may not lie on it, and the line to the name had better not cross it.
    """

    start: Place
    end: Place
    radius: float
    cost: float

    @property
    def is_mark(self) -> bool:
        """Tell whether it is a mark."""
        return self.start == self.end


@dataclass(frozen=True)
class Label:
    """A name to be placed: where its mark lies, and its size [px]."""

    at: Place
    width: float
    height: float


def line(places: Sequence[Place], radius: float, cost: float) -> list[Obstacle]:
    """Return the pieces of a line through places."""
    return [Obstacle(start, end, radius, cost) for start, end in itertools.pairwise(places)]


def mark(at: Place, radius: float, cost: float = 60.0) -> Obstacle:
    """Return a mark, `radius` in px."""
    return Obstacle(at, at, radius, cost)


def shifts(labels: Sequence[Label], obstacles: Sequence[Obstacle], space: Space) -> list[Place]:
    """Return how far each name's middle lies from its mark [px], right and up.

    One is placed after the other; where there are few, in the order that leaves all best off.
    """
    sheets = [_sheet(size, labels, obstacles, space) for size in space.sizes]
    given = tuple(range(len(labels)))
    orders = itertools.permutations(given) if len(labels) <= MOST_ORDERED else [given]
    best: list[Place] = []
    least = math.inf
    for order in orders:
        found, cost = _placed([labels[i] for i in order], sheets, space)
        if cost < least:
            best, least = [found[order.index(i)] for i in given], cost
    return best


def _placed(
    labels: Sequence[Label], sheets: Sequence[_Sheet], space: Space
) -> tuple[list[Place], float]:
    """Return where names lie that are placed one after the other, and what all cost."""
    found: list[Place] = []
    total = 0.0
    for sheet in sheets:
        sheet.names.clear()
    for label in labels:
        best, least = (0.0, 0.0), math.inf
        for shift in _tried(label):
            cost = PER_PX * math.hypot(*shift)
            for sheet in sheets:
                if cost < least:
                    cost += sheet.cost(label, shift, space)
            if cost < least:
                best, least = shift, cost
        for sheet in sheets:
            sheet.names.append(sheet.name(label, best, space))
        found.append(best)
        total += least
    return found, total


def joined(shift: Place, colour: str, radius: float) -> Mapping[str, object]:
    """Return what plotly's annotation needs to stand there, joined by a line to its mark's edge."""
    return {
        "ax": round(shift[0], 1),
        "ay": round(-shift[1], 1),
        "showarrow": True,
        "arrowhead": 0,
        "arrowwidth": 1,
        "standoff": radius,
        "arrowcolor": colour,
    }


def _tried(label: Label) -> list[Place]:
    """Return the places around a mark, the near ones and those to the right first."""
    found = []
    for ring in RINGS:
        for step in range(ANGLES):
            angle = 2.0 * math.pi * step / ANGLES
            across, up = math.cos(angle), math.sin(angle)
            found.append((across * (ring + label.width / 2), up * (ring + label.height / 2)))
    return found


@dataclass(frozen=True)
class _Name:
    """A name on a sheet: where its mark is, its middle, its box with room around it [px]."""

    mark: Place
    middle: Place
    box: Box

    @property
    def reach(self) -> Box:
        """The outline of the name and of the line to it [px]."""
        left, low, right, high = self.box
        x, y = self.mark
        return min(left, x), min(low, y), max(right, x), max(high, y)


@dataclass(frozen=True)
class _Sheet:
    """A figure at one size: marks to be named, obstacles with ends and outline, names so far."""

    size: Place
    marks: Sequence[Place]
    obstacles: Sequence[tuple[Obstacle, Place, Place, Box]]
    names: list[_Name] = field(default_factory=list)

    def name(self, label: Label, shift: Place, space: Space) -> _Name:
        """Return the name with its middle `shift` from its mark."""
        own = space.pixel(label.at, self.size)
        x, y = own[0] + shift[0], own[1] + shift[1]
        across, up = label.width / 2 + ROOM, label.height / 2 + ROOM
        return _Name(own, (x, y), (x - across, y - up, x + across, y + up))

    def cost(self, label: Label, shift: Place, space: Space) -> float:
        """Return what it costs to have the name there."""
        name = self.name(label, shift, space)
        cost = OUTSIDE * _is_outside(name.box, self.size)
        cost += NAMES * sum(_collide(name, other) for other in self.names)
        far = math.dist(name.middle, name.mark) - NEARER_PX
        cost += RIVAL * sum(math.dist(name.middle, mark) < far for mark in self.marks)
        left, low, right, high = name.reach
        for one, start, end, box in self.obstacles:
            if box[2] < left or box[0] > right or box[3] < low or box[1] > high:
                continue
            if _meets(start, end, _wider(name.box, one.radius)):
                cost += one.cost
            elif one.is_mark and one.start != label.at:
                cost += one.cost * ASTRAY * _is_crossed(name, start, one.radius)
            elif one.start[0] != label.at[0]:
                cost += one.cost * CROSSED * _cross((name.mark, name.middle), (start, end))
        return cost


def _is_crossed(name: _Name, mark: Place, radius: float) -> bool:
    """Tell whether the line to a name crosses another mark that its own does not lie on."""
    ground = _wider((*mark, *mark), radius)
    return _meets(name.mark, name.middle, ground) and not _meets(name.mark, name.mark, ground)


def _cross(one: tuple[Place, Place], other: tuple[Place, Place]) -> bool:
    """Tell whether two straight lines cross: the ends of each lie on both sides of the other."""

    def turn(a: Place, b: Place, c: Place) -> float:
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

    is_parted = turn(*one, other[0]) * turn(*one, other[1]) < 0.0
    return is_parted and turn(*other, one[0]) * turn(*other, one[1]) < 0.0


def _sheet(
    size: Place, labels: Sequence[Label], obstacles: Sequence[Obstacle], space: Space
) -> _Sheet:
    drawn = []
    for one in obstacles:
        start, end = space.pixel(one.start, size), space.pixel(one.end, size)
        (left, right), (low, high) = (sorted(pair) for pair in zip(start, end, strict=True))
        drawn.append((one, start, end, _wider((left, low, right, high), one.radius)))
    return _Sheet(size, [space.pixel(label.at, size) for label in labels], drawn)


def _collide(one: _Name, other: _Name) -> bool:
    """Tell whether two names, or the line of one and the other name, meet."""
    is_crossed = _meets(one.mark, one.middle, other.box) or _meets(
        other.mark, other.middle, one.box
    )
    return is_crossed or _overlap(one.box, other.box)


def _wider(box: Box, by: float) -> Box:
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by


def _is_outside(box: Box, size: Place) -> bool:
    return box[0] < 0 or box[1] < 0 or box[2] > size[0] or box[3] > size[1]


def _overlap(one: Box, other: Box) -> bool:
    is_across = one[0] < other[2] and other[0] < one[2]
    return is_across and one[1] < other[3] and other[1] < one[3]


def _meets(start: Place, end: Place, box: Box) -> bool:
    """Tell whether a straight line meets a box (Liang and Barsky's clipping, 1984)."""
    first, last = 0.0, 1.0
    for axis in (0, 1):
        step = end[axis] - start[axis]
        low, high = box[axis] - start[axis], box[axis + 2] - start[axis]
        if step == 0.0:
            if low > 0.0 or high < 0.0:
                return False
            continue
        near, far = sorted((low / step, high / step))
        first, last = max(first, near), min(last, far)
    return first <= last
