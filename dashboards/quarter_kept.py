"""What the files of a quarter held, what could not be judged, and how readings were taken."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime


@dataclass(frozen=True)
class Unjudged:
    """One row of `marts.quarter_unjudged`: readings that the same step would settle.

    `warm_count` of them were warm enough beside their panel to be clamped.
    """

    next_step: str
    reason: str
    reading_count: int
    visit_count: int
    warm_count: int
    clamped_count: int


@dataclass(frozen=True)
class Recheck:
    """One row of `marts.quarter_recheck`: readings that contradict themselves."""

    code: str
    sentence: str
    reading_count: int


@dataclass(frozen=True)
class Rejected:
    """One row of `marts.quarter_quarantine`: rows that were not kept."""

    code: str
    sentence: str
    row_count: int
    file_count: int


@dataclass(frozen=True)
class FileCount:
    """The row of `marts.quarter_file`: read = kept + repeated + quarantined.

    What was kept is the quarter's own, replaced by a correction, in no quarter or in another.
    """

    file_count: int = 0
    read_count: int = 0
    kept_count: int = 0
    repeated_count: int = 0
    quarantined_count: int = 0
    superseding_count: int = 0
    own_count: int = 0
    replaced_count: int = 0
    astray_count: int = 0
    elsewhere_count: int = 0


@dataclass(frozen=True)
class Protocol:
    """The row of `marts.quarter_protocol`: how completely readings were taken."""

    reading_count: int = 0
    clamped_count: int = 0
    minutes_count: int = 0
    termination_count: int = 0
    inspector_count: int = 0
    unscreened_count: int = 0


@dataclass(frozen=True)
class Astray:
    """One row of `marts.quarter_astray`: a reading whose date lies in no quarter of the store."""

    reading_id: int
    inspection_id: str
    panel_id: str
    position: int
    office_id: str | None
    inspected_at: datetime
    file_name: str


@dataclass(frozen=True)
class Known:
    """The row of `marts.quarter_known`: the latest day in the store, readings in no quarter."""

    known_on: date | None = None
    astray_count: int = 0
