"""What lies behind trends: who read with what, how completely, and what a change is made of."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

PAST, OTHERS = "its own past", "the others"
"""What a subject is compared with."""


@dataclass(frozen=True)
class Use:
    """Inspections that somebody took with a camera, of all with it, and of all of that person.

    `against` tells the span: that of a deviation from its own past is the quarter, that of one from
    the others the year up to it.
    """

    camera: str
    inspector: str
    quarter: str
    against: str
    count: int
    camera_count: int
    inspector_count: int

    MOSTLY: ClassVar[float] = 0.5
    """Share from which two go together [1]; chosen: the greater part."""

    @property
    def camera_share(self) -> float:
        """The person's share of the camera's inspections [1]."""
        return self.count / self.camera_count

    @property
    def inspector_share(self) -> float:
        """The camera's share of the person's inspections [1]."""
        return self.count / self.inspector_count

    @property
    def is_one(self) -> bool:
        """Whether an offset of the one cannot be told from one of the other."""
        return max(self.camera_share, self.inspector_share) >= self.MOSTLY


@dataclass(frozen=True)
class Source:
    """What a class or office adds to a change of a share: counts now and in what it is set against.

    `against` is that of the move or signal. `expected` is what its earlier shares would have
    brought, kind of case by kind, and `difference` how many more were found [1]; kinds that were
    not met earlier count in neither. Over the classes the expectations add up to the firm's.
    """

    measure: str
    against: str
    subject: str
    level_name: str
    hit_count: int
    judged_count: int
    earlier_hit_count: int
    earlier_judged_count: int
    expected: float
    difference: float


@dataclass(frozen=True)
class Protocol:
    """How completely an inspector took a quarter's readings; counts out of their totals."""

    inspector: str
    quarter: str
    inspection_count: int
    reading_count: int
    same_ambient_count: int
    usual_degc: float
    minuted_count: int
    unsettled_count: int
    emissive_count: int
    warm_count: int
    warm_clamped_count: int


@dataclass(frozen=True)
class HabitShare:
    """How often an inspector kept a habit in a quarter, with Wilson's 95 % ends, all [1].

    `measure` is ambient, clamped, minutes or settled; a share of ambient or settled is the worse
    the larger it is, of the others the better.
    """

    measure: str
    inspector: str
    quarter: str
    count: int
    total: int
    low: float
    high: float
