"""The flagged and over-limit devices of a quarter, with what was found of them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

FLAGGED = ("suspect_connection", "overload_and_connection")
OVER = ("overload", "overload_and_connection")
CONTINUOUS_MINUTES = 180.0
"""Minutes from which a load is continuous [min]: NEC article 100, three hours."""


@dataclass(frozen=True)
class Listed:
    """One row of `marts.quarter_listed`: a flagged or over-limit reading.

    `finding`, `found_at` and `is_licensed` are None where nobody examined the device yet;
    `waiting_days` [d] run from the scan to the latest day in the store, None where none waits; one
    without a current, or of a class that the baseline does not know, is not drawable.
    """

    reading_id: int
    inspection_id: str
    panel_id: str
    position: int
    poles: int
    device_class: str
    office_id: str | None
    inspector_id: str | None
    inspected_at: datetime
    verdict: str
    probability: float | None
    rise_k: float
    termination_rise_k: float | None
    rated_a: float
    load_fraction: float | None
    finding: str | None
    found_at: datetime | None
    is_licensed: bool | None
    next_step: str = ""
    load_minutes: float | None = None
    is_over_rating: bool = False
    waiting_days: int | None = None
    is_drawable: bool = True

    @property
    def is_flagged(self) -> bool:
        """Whether a connection or device fault is suspected."""
        return self.verdict in FLAGGED

    @property
    def is_over(self) -> bool:
        """Whether the current was over the limit."""
        return self.verdict in OVER

    @property
    def has_run_long(self) -> bool:
        """Whether its load was noted to have run as long as a continuous one does."""
        return (self.load_minutes or 0.0) >= CONTINUOUS_MINUTES

    @property
    def is_open(self) -> bool:
        """Whether no licensed electrician has examined it yet."""
        return not self.is_licensed

    @property
    def hottest_k(self) -> float:
        """The greater of the rises of face and termination [K]."""
        return max(self.rise_k, self.termination_rise_k or self.rise_k)
