"""Constants and defaults, each with its unit and its source, or the word “chosen” and why."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field


@dataclass(frozen=True)
class Prior:
    """Pseudo-reading that speaks where the fleet has not: mean and standard deviation."""

    mean: float
    sd: float


@dataclass(frozen=True)
class GroupPrior:
    """Priors of one class and channel: offset [K], gain [K at rating], slopes [1]."""

    offset_k: Prior
    gain_k: Prior
    floor_slope: Prior = field(default_factory=lambda: Prior(0.8, 0.4))
    neighbour_slope: Prior = field(default_factory=lambda: Prior(0.08, 0.08))
    across_slope: Prior = field(default_factory=lambda: Prior(0.04, 0.06))
    main_slope: Prior = field(default_factory=lambda: Prior(0.04, 0.06))
    """What the main above adds to the devices under it, per kelvin; chosen as the other slopes."""


@dataclass(frozen=True)
class Held:
    """Variance components and spreads that the fit holds instead of learning them.

    Offsets and spreads in [K] squared and [K], shares of the gain [1]. A component of 0 leaves its
    effect out, so that the engine can be laid beside a plain mixed model.
    """

    make_offset: float = 0.0
    make_gain: float = 0.0
    rating_gain: float = 0.0
    minute_gain: float = 0.0
    shelter: float = 0.0
    camera: float = 0.0
    visit: float = 0.0
    noise_k: float = 1.0
    noise_share: float = 0.0


@dataclass(frozen=True)
class BaselineSettings:
    """How the baseline is fitted."""

    cool_share: float = 0.4
    """Share of a panel's standard breakers that count as its cool end [1]; chosen: most idle."""
    neighbour_cap_k: float = 50.0
    """The most one neighbour may count for [K]; UL 489 7.1.4 lets a terminal rise 50 K. A faulty
    neighbour warms this device as any other does: only what was misread is to be held off."""
    least_clamp_share: float = 0.1
    """Lower bound of the share clamped [1]; chosen: no row weighs more than ten."""
    is_weighted: bool = False
    """Weight rows by the inverse of how often such a warm device is clamped."""
    tuning: float = 4.685
    """Where Tukey's bisquare reaches nil [1]; 95 % efficient (Holland & Welsch 1977)."""
    huber_tuning: float = 1.345
    """Where Huber's weight starts to fall [1]; 95 % efficient (Huber 1964). It leads the first
    passes: the bisquare forgets what lies far off, and must not start far off itself."""
    exponent: Prior = field(default_factory=lambda: Prior(1.64, 0.15))
    """Exponent of the load [1]; IEC 61439-1 10.10.2.3.1 gives 1/0.61 = 1.639."""
    exponent_bend: float = 0.02
    """What the floor, standing for the inside air, bends the exponent by [1]; chosen: fits of
    `tests/guarantees/planted_fleet.py` came back about so much low. It widens the interval."""
    exponent_bounds: tuple[float, float] = (1.0, 3.0)
    """Where the fit is refused [1]."""
    exponent_usual: tuple[float, float] = (1.4, 2.2)
    """Where a fit raises a data question [1]; heat balance: 1.5 turbulent to 2 constant film."""
    tolerance: float = 3e-3
    """Largest change between passes, in units of each parameter's scale [1]; chosen."""
    most_passes: int = 200
    """Passes after which the fit is given up; chosen: three times what small fleets need."""
    prior_width: float = 1.0
    """What the standard deviations of the coefficients' priors are multiplied by [1]; large for a
    fit that its rows alone decide."""
    held: Held | None = None
    """Variance components and spreads to hold; None to learn them from the rows."""


STANDARD = GroupPrior(Prior(0.0, 3.0), Prior(30.0, 12.0))
"""Body at the load end about 30 K over ambient at rating: common practice, no published source."""
ELECTRONIC = GroupPrior(Prior(10.0, 8.0), Prior(30.0, 12.0))
"""Warm with no load, up to 22 K over cold neighbours: common practice, no published source."""
TERMINATION = GroupPrior(Prior(3.0, 6.0), Prior(35.0, 15.0))
"""Terminals at most 50 K at rating (UL 489 7.1.4); usual values chosen below that."""
CONDUCTOR = GroupPrior(Prior(1.0, 5.0), Prior(22.0, 12.0))
"""Wire a hand's breadth away, cooler than its terminal; chosen."""

COLD_CLASSES = frozenset({"standard", "main"})
"""Classes without electronics of their own."""

LEAST_NOISE_K = 0.25
"""Lower bound of the fitted spread [K]; chosen: below any camera's repeatability."""
USUAL_NOISE_K, USUAL_NOISE_SHARE = 1.0, 0.12
"""Spread of healthy readings before a channel's own rows speak [K, 1]; chosen: camera and air at a
third of their limits (A25), units 10 % apart, minutes unlike."""
START_NOISE_K = 3.0
"""Spread that the first pass assumes [K]; chosen wide, narrowed by the data."""
START_NOISE_SHARE = 0.2
"""Spread per load-driven rise that the first pass assumes [1]; chosen."""


def group_prior(channel: str, device_class: str) -> GroupPrior:
    """Return the prior of a class in a channel (face, termination or conductor)."""
    if channel == "conductor":
        return CONDUCTOR
    if channel == "termination":
        return TERMINATION
    return STANDARD if device_class in COLD_CLASSES else ELECTRONIC


def as_record(settings: BaselineSettings) -> dict[str, object]:
    """Return the settings as plain data, for hashing and for the store."""
    return asdict(settings)
