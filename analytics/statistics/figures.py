"""Figures from outside that queries and functions share, without the weight of numpy."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

Known = Literal["published", "from memory", "derived", "common practice", "chosen"]


@dataclass(frozen=True)
class Sourced:
    """One value with its unit and where it comes from; `known` says how far to trust it."""

    value: float
    unit: str
    source: str
    known: Known = "published"


RECTANGULAR_DIVISOR = Sourced(
    math.sqrt(3.0), "1", "JCGM 100:2008, 4.3.7: a limit without more is a rectangular distribution"
)
CAMERA_LIMIT_K = Sourced(2.0, "K", "usual data-sheet class of an infrared camera")
CAMERA_LIMIT_SHARE = Sourced(0.02, "1", "usual data-sheet class: of the reading in °C")
CLAMP_LIMIT_SHARE = Sourced(0.02, "1", "usual data-sheet class of a clamp ammeter: of the reading")
CLAMP_DIGITS = Sourced(5.0, "1", "usual data-sheet class: last digits on top")
CLAMP_RESOLUTION = Sourced(0.1, "A", "usual data-sheet class: one last digit")
AIR_LIMIT_K = Sourced(1.0, "K", "a usual air thermometer", "chosen")
WORRY_RISE = Sourced(70 / 1.8, "K", "70 °F over ambient, whatever the class", "common practice")

RATIO_STEP = 1.3
"""Step of the grid of excess heat ratios [1]; chosen, finer than any reading can tell."""
TEMPER = 0.85
"""Power to which each likelihood ratio counts [1]; chosen: the law of the healthy spread is fitted,
not known, and evidence that is taken at its word is too sure at both ends."""
DOUBT = 0.05
"""Odds of another reason than a fault for what looks like one [1]; chosen: a misread clamp, another
device than noted, a unit unlike its make. `make compare` prints what share of the readings with a
stated chance over 90 % are faults."""
CRIMP_SHARE = 0.15
"""Share of terminal faults that sit away from the device, in a crimp on the wire [1]; chosen: such
a crimp read 30.6 K above its wire beside a cool breaker (trade report)."""
