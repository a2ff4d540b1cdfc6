"""The records that the diagnostics page is made of, one a row of a mart."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from datetime import date, datetime

from analytics.settings import BaselineSettings, GroupPrior, group_prior

NORMAL_95 = 1.959963984540054
"""Standard errors on each side of a 95 % interval [1]."""


@dataclass(frozen=True)
class Counts:
    """The row of `marts.diagnostics_count`: what the verdicts cover."""

    reading_count: int
    panel_count: int
    clamped_count: int
    taught_count: int
    judged_count: int
    unjudged_count: int
    recheck_count: int
    flagged_count: int
    unscreened_count: int


@dataclass(frozen=True)
class Group:
    """One row of `marts.diagnostics_group`: rises and spreads [K], slopes [1], each with its se."""

    channel: str
    device_class: str
    is_multi_pole: bool
    reading_count: int
    offset_k: float
    offset_k_se: float
    gain_k: float
    gain_k_se: float
    exponent: float
    exponent_sd: float | None
    floor_slope: float
    floor_slope_se: float
    neighbour_slope: float
    neighbour_slope_se: float
    across_slope: float
    across_slope_se: float
    main_slope: float
    main_slope_se: float
    noise_k: float
    noise_share: float
    spread_20_k: float
    spread_50_k: float
    spread_80_k: float

    @property
    def key(self) -> tuple[str, str, bool]:
        """What names the group."""
        return self.channel, self.device_class, self.is_multi_pole

    @property
    def prior(self) -> GroupPrior:
        """What was believed before any reading."""
        return group_prior(self.channel, self.device_class)

    @property
    def is_prior_only(self) -> bool:
        """Whether no reading has taught the group."""
        return self.reading_count == 0

    @property
    def effective_count(self) -> float:
        """Readings at full rating that would pin the load's rise as firmly, all else known [1].

        What the readings add to the prior, over what one reading at rating tells:
        (1 / se² - 1 / prior sd²) (noise² + (noise share x rise at rating)²). Readings at a light
        load tell little of the rise at rating; those that the robust weights set aside tell
        nothing; and learning the other terms takes its part. Never below 0.
        """
        added = 1.0 / self.gain_k_se**2 - 1.0 / self.prior.gain_k.sd**2
        one = self.noise_k**2 + (self.noise_share * self.gain_k) ** 2
        return 0.0 if self.is_prior_only else max(added * one, 0.0)

    @property
    def prior_share(self) -> float:
        """Share of the prior in what is known of the rise at rating [1]: se² / prior sd²."""
        return min((self.gain_k_se / self.prior.gain_k.sd) ** 2, 1.0)


@dataclass(frozen=True)
class Residual:
    """One row of `marts.diagnostics_residual`: quantiles of residuals in healthy spreads [1]."""

    subject: str
    level: str
    reading_count: int
    panel_count: int
    low_tenth: float
    low_quarter: float
    middle: float
    high_quarter: float
    high_tenth: float
    width: float
    is_off: bool
    is_wide: bool


@dataclass(frozen=True)
class Unjudged:
    """One row of `marts.diagnostics_unjudged`: readings that the same step would settle."""

    subject: str
    level: str
    next_step: str | None
    reason: str | None
    reading_count: int
    total_count: int


@dataclass(frozen=True)
class Reason:
    """One row of `marts.diagnostics_recheck` or `marts.diagnostics_quarantine`."""

    code: str
    sentence: str
    row_count: int


@dataclass(frozen=True)
class Coverage:
    """One row of `marts.diagnostics_coverage`; load band 0 stands for all loads."""

    device_class: str
    load_band: int
    reading_count: int
    below_count: int
    above_count: int
    inside_count: int
    inside_low: float | None
    inside_high: float | None

    @property
    def share(self) -> float:
        """Share of readings inside the healthy interval [1]."""
        return self.inside_count / self.reading_count


@dataclass(frozen=True)
class PBin:
    """One row of `marts.diagnostics_p_value`: chances above `low` up to `high` [1]."""

    bin: int
    low: float
    high: float
    residual_count: int
    rank_count: int


@dataclass(frozen=True)
class Pass:
    """One row of `marts.diagnostics_pass`: what a pass moved, in parameter scales [1]."""

    number: int
    fixed: float
    slopes: float
    offsets: float
    spread: float
    exponent: float
    largest: float


@dataclass(frozen=True)
class Version:
    """One row of `marts.diagnostics_version`: a fitted baseline."""

    number: int
    baseline_version: str
    fitted_at: datetime
    program_version: str
    data_hash: str
    settings_hash: str
    exponent: float | None
    exponent_sd: float | None
    visit_variance_k2: float | None
    is_in_force: bool


@dataclass(frozen=True)
class Used:
    """One row of `marts.diagnostics_used`: what verdicts rest on."""

    baseline_version: str
    policy_version: str
    reading_count: int
    first_on: date | None
    last_on: date | None


@dataclass(frozen=True)
class Clamped:
    """One row of `marts.diagnostics_clamped`: devices by warmth above their panel's floor."""

    warm_band: int
    reading_count: int
    clamped_count: int


@dataclass(frozen=True)
class Flagged:
    """One row of `marts.diagnostics_flagged`."""

    reading_id: int
    device_class: str


@dataclass(frozen=True)
class PolicyText:
    """The row of `marts.diagnostics_policy`: a policy's TOML text."""

    policy_version: str
    policy_text: str


@dataclass(frozen=True)
class Fit:
    """One of the two fits that are set side by side."""

    groups: tuple[Group, ...]
    flagged: tuple[Flagged, ...]
    exponent: float
    passes: int

    @property
    def flagged_ids(self) -> frozenset[int]:
        """The readings that it flags."""
        return frozenset(one.reading_id for one in self.flagged)


@dataclass(frozen=True)
class WeightsCheck:
    """Both fits of the same readings under one policy, or why there are none."""

    policy_version: str = ""
    without: Fit | None = None
    weighted: Fit | None = None
    trouble: str = ""
    clamped: tuple[Clamped, ...] = ()

    @property
    def is_same(self) -> bool:
        """Whether weights changed nothing, since at each warmth all devices were clamped."""
        if self.without is None or self.weighted is None:
            return False
        return self.without.groups == self.weighted.groups


@dataclass(frozen=True)
class DiagnosticsRecord:
    """All that the diagnostics page says, before it is put into words.

    `counts` is None where nothing was screened, `groups` are empty where nothing was fitted.
    """

    counts: Counts | None = None
    groups: tuple[Group, ...] = ()
    residuals: tuple[Residual, ...] = ()
    unjudged: tuple[Unjudged, ...] = ()
    rechecks: tuple[Reason, ...] = ()
    quarantined: tuple[Reason, ...] = ()
    coverage: tuple[Coverage, ...] = ()
    p_values: tuple[PBin, ...] = ()
    passes: tuple[Pass, ...] = ()
    versions: tuple[Version, ...] = ()
    used: tuple[Used, ...] = ()
    weights: WeightsCheck = field(default_factory=WeightsCheck)

    @property
    def in_force(self) -> Version | None:
        """The baseline in force, if any was fitted."""
        return next((one for one in self.versions if one.is_in_force), None)

    @property
    def tolerance(self) -> float:
        """Largest change at which a fit counts as settled, in parameter scales [1]."""
        return BaselineSettings().tolerance

    @property
    def compared(self) -> tuple[Residual, ...]:
        """Levels that have another of their subject to be compared with; those of the load all."""
        count = Counter(row.subject for row in self.residuals)
        return tuple(r for r in self.residuals if r.subject == "load" or count[r.subject] > 1)

    def residual_rows(self, subject: str) -> tuple[Residual, ...]:
        """Return the residuals of one subject, in order."""
        return tuple(row for row in self.residuals if row.subject == subject)
