"""The records that the quarterly page is made of, one a row of a mart."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime

from analytics.policy import Policy, default_policy
from analytics.trends.records import Trends
from dashboards.quarter_found import Chance, MadeFound, Office, VerdictFound
from dashboards.quarter_kept import (
    Astray,
    FileCount,
    Known,
    Protocol,
    Recheck,
    Rejected,
    Unjudged,
)
from dashboards.quarter_listed import Listed


@dataclass(frozen=True)
class Share:
    """A count out of a total with Wilson's 95 % interval [1]."""

    count: int
    total: int
    low: float | None
    high: float | None

    @property
    def value(self) -> float | None:
        """The share [1]; None without a total."""
        return self.count / self.total if self.total else None


@dataclass(frozen=True)
class QuarterCount:
    """One row of `marts.quarter_count`; shares are of the readings that could be judged."""

    quarter: str
    inspection_count: int = 0
    panel_count: int = 0
    reading_count: int = 0
    clamped_count: int = 0
    judged_count: int = 0
    flagged_count: int = 0
    overload_count: int = 0
    both_count: int = 0
    rating_count: int = 0
    unjudged_count: int = 0
    recheck_count: int = 0
    flagged_low: float | None = None
    flagged_high: float | None = None
    overload_low: float | None = None
    overload_high: float | None = None
    flagged_change_low: float | None = None
    flagged_change_high: float | None = None
    overload_change_low: float | None = None
    overload_change_high: float | None = None

    @property
    def flagged(self) -> Share:
        """Readings suspected of a connection or device fault."""
        return Share(self.flagged_count, self.judged_count, self.flagged_low, self.flagged_high)

    @property
    def overload(self) -> Share:
        """Readings that carried more current than the limit."""
        return Share(self.overload_count, self.judged_count, self.overload_low, self.overload_high)


@dataclass(frozen=True)
class Standing:
    """One row of `marts.quarter_standing`: a class, office, camera, inspector or make."""

    subject: str
    level: str
    panel_count: int
    reading_count: int
    judged_count: int
    flagged_count: int
    overload_count: int
    flagged_low: float | None
    flagged_high: float | None
    whole_share: float
    judged_low: float | None = None
    judged_high: float | None = None

    @property
    def flagged(self) -> Share:
        """Readings suspected of a connection or device fault."""
        return Share(self.flagged_count, self.judged_count, self.flagged_low, self.flagged_high)


@dataclass(frozen=True)
class Case:
    """One row of `marts.quarter_case`: a flagged reading; `usual_load_k` as its query has it."""

    reading_id: int
    visit_id: int
    inspection_id: str
    panel_id: str
    position: int
    device_class: str
    verdict: str
    reason: str
    next_step: str
    probability: float
    rise_k: float
    load_fraction: float
    expected_rise_k: float
    lower_k: float
    upper_k: float
    heat_ratio: float
    heat_ratio_low: float | None
    heat_ratio_high: float | None
    flip_chance: float | None
    usual_load_k: float | None
    poles: int
    rated_a: float
    current_a: float
    termination_rise_k: float | None
    inspected_at: datetime
    office_id: str | None
    inspector_id: str | None
    panel_location: str | None
    note: str | None


@dataclass(frozen=True)
class Slot:
    """One row of `marts.quarter_case_slot`: a device in a case's panel."""

    visit_id: int
    position: int
    device_class: str
    poles: int
    rated_a: float
    rise_k: float
    load_fraction: float | None
    verdict: str
    reading_count: int


@dataclass(frozen=True)
class BandPoint:
    """One row of `marts.quarter_case_band`: the usual rise [K] at a load fraction [1]."""

    reading_id: int
    load_fraction: float
    load_rise_k: float
    expected_rise_k: float
    lower_k: float
    upper_k: float


@dataclass(frozen=True)
class Referral:
    """One row of `marts.quarter_referral`: what licensed electricians found; others apart."""

    quarter: str
    flagged_count: int
    examined_count: int
    loose_count: int
    device_count: int
    overload_count: int
    nothing_count: int
    other_count: int
    median_days: float | None
    slow_days: float | None
    confirmed_low: float | None
    confirmed_high: float | None

    @property
    def confirmed(self) -> Share:
        """Examined devices with a loose connection or a fault of their own."""
        confirmed = self.loose_count + self.device_count
        return Share(confirmed, self.examined_count, self.confirmed_low, self.confirmed_high)


@dataclass(frozen=True)
class Version:
    """One row of `marts.quarter_version`: what the verdicts rest on."""

    baseline_version: str
    policy_version: str
    reading_count: int
    fitted_on: date | None
    data_hash: str | None
    program_version: str | None
    exponent: float | None
    exponent_sd: float | None
    is_in_force: bool


@dataclass(frozen=True)
class Held:
    """One row of `marts.quarter_held`: a quarter with verdicts."""

    quarter: str
    reading_count: int
    first_on: date
    last_on: date


@dataclass(frozen=True)
class QuarterRecord:
    """All that the quarterly page says, before it is put into words.

    `policy` is what the verdicts rest on. `is_screened` is false where no reading of the store was
    judged yet; all else is then blank.
    """

    quarter: str
    counts: tuple[QuarterCount, ...]
    standings: tuple[Standing, ...] = ()
    cases: tuple[Case, ...] = ()
    slots: tuple[Slot, ...] = ()
    bands: tuple[BandPoint, ...] = ()
    unjudged: tuple[Unjudged, ...] = ()
    rechecks: tuple[Recheck, ...] = ()
    rejected: tuple[Rejected, ...] = ()
    files: FileCount = field(default_factory=FileCount)
    protocol: Protocol = field(default_factory=Protocol)
    versions: tuple[Version, ...] = ()
    held: tuple[Held, ...] = ()
    referrals: tuple[Referral, ...] = ()
    listed: tuple[Listed, ...] = ()
    offices: tuple[Office, ...] = ()
    chances: tuple[Chance, ...] = ()
    makes: tuple[MadeFound, ...] = ()
    verdicts: tuple[VerdictFound, ...] = ()
    astray: tuple[Astray, ...] = ()
    known: Known = field(default_factory=Known)
    policy: Policy = field(default_factory=default_policy)
    trends: Trends | None = None
    is_screened: bool = True

    @property
    def now(self) -> QuarterCount:
        """The quarter itself."""
        return self.counts[-1]

    @property
    def last(self) -> QuarterCount | None:
        """The calendar quarter before, where it has readings that could be judged."""
        before = self.counts[-2] if len(self.counts) > 1 else None
        return before if before and before.judged_count else None

    @property
    def drawable_bands(self) -> tuple[BandPoint, ...]:
        """The bands, where the baseline that judged is the one still in force; else none."""
        return self.bands if all(one.is_in_force for one in self.versions) else ()

    def level_rows(self, subject: str) -> tuple[Standing, ...]:
        """Return the standings of one subject, by name."""
        return tuple(row for row in self.standings if row.subject == subject)
