"""The fit's state between passes: small arrays in Python, mirrored as small tables in the store."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from analytics import settings as st
from analytics.warehouse import Warehouse

Array = NDArray[np.float64]
COEFFICIENTS = (
    "offset_k",
    "gain_k",
    "floor_slope",
    "neighbour_slope",
    "across_slope",
    "main_slope",
)
"""Fixed terms of a group, in order."""
CHANNELS = ("face", "termination", "conductor")
POLE_FAMILIES = ("one_pole", "two_pole", "main")
SHELTER_LEVELS = 12
"""Open ends (0 to 2) by an open side by the main above; see `fitting.shelter_level`."""


@dataclass
class Groups:
    """Parameters of the groups, in order of group_id (1 … count)."""

    channel: list[str]
    device_class: list[str]
    is_multi_pole: list[bool]
    coefficients: Array
    """(count, 6): in the order of COEFFICIENTS."""
    prior_mean: Array
    prior_precision: Array
    first_mean: Array
    first_sd: Array
    noise_k: Array
    noise_share: Array
    exponent: dict[str, float]
    taught: list[int]
    """Indices of the groups that have rows."""
    standard_error: Array = field(default_factory=lambda: np.zeros((0, len(COEFFICIENTS))))

    @property
    def count(self) -> int:
        """Number of groups."""
        return len(self.channel)


@dataclass
class Variances:
    """Variance components; shares are of the gain [1], offsets in [K^2]."""

    make_offset: float = 0.25
    make_gain: float = 0.01
    rating_gain: float = 0.02
    minute_gain: float = 0.01
    shelter: float = 0.01
    camera: float = 0.25
    visit: float = 1.0


def start_groups(warehouse: Warehouse, settings: st.BaselineSettings) -> Groups:
    """Read the groups of the design and set them to their priors."""
    levels = warehouse.fetch(
        "select channel, device_class, is_multi_pole from fitting.group_level order by group_id"
    )
    priors = [st.group_prior(channel, name) for channel, name, _ in levels]
    parts = [[getattr(p, name) for name in COEFFICIENTS] for p in priors]
    size = len(COEFFICIENTS)
    mean = np.array([[q.mean for q in one] for one in parts], dtype=float).reshape(-1, size)
    sd = np.array([[q.sd for q in one] for one in parts], dtype=float).reshape(-1, size)
    sd *= settings.prior_width
    noise = settings.held or st.Held(noise_k=st.START_NOISE_K, noise_share=st.START_NOISE_SHARE)
    return Groups(
        channel=[level[0] for level in levels],
        device_class=[level[1] for level in levels],
        is_multi_pole=[bool(level[2]) for level in levels],
        coefficients=mean.copy(),
        prior_mean=mean.copy(),
        prior_precision=1.0 / sd**2,
        first_mean=mean,
        first_sd=sd,
        noise_k=np.full(len(levels), noise.noise_k),
        noise_share=np.full(len(levels), noise.noise_share),
        exponent=dict.fromkeys(CHANNELS, settings.exponent.mean),
        taught=[int(row[0]) - 1 for row in warehouse.rows("fitting.group_met")],
    )


def put_groups(warehouse: Warehouse, groups: Groups) -> None:
    """Write the group parameters to `fitting.group_parameter`."""
    c = groups.coefficients
    columns: dict[str, object] = {
        "group_id": np.arange(1, groups.count + 1),
        "channel": groups.channel,
        "device_class": groups.device_class,
        "is_multi_pole": groups.is_multi_pole,
        "exponent": [groups.exponent[channel] for channel in groups.channel],
        "noise_k": groups.noise_k,
        "noise_share": groups.noise_share,
    }
    columns |= {name: c[:, i] for i, name in enumerate(COEFFICIENTS)}
    errors = groups.standard_error if len(groups.standard_error) else np.zeros_like(c)
    columns |= {f"{name}_se": errors[:, i] for i, name in enumerate(COEFFICIENTS)}
    warehouse.put("fitting.group_parameter", columns)
