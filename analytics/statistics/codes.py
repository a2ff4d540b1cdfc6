"""What codes and product standards allow: continuous load, ratings, ampacities, rises, losses.

Reference beside a verdict, never in its stead: local code and the authority having jurisdiction
decide.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analytics.errors import UsageError
from analytics.statistics.sourced import Array, Numbers, Sourced, numbers

CONTINUOUS_FACTOR = Sourced(1.25, "1", "NEC 210.20(A) and 215.3: a continuous load counts 125 %")
CONTINUOUS_HOURS = Sourced(3.0, "h", "NEC Article 100: a load of three hours or more is continuous")
INSPECTION_LOAD_SHARE = Sourced(
    0.4, "1", "NFPA 70B-2023, 7.4.5 and 7.4.6: not under 40 % of normal load, else document it"
)
RATED_AMBIENT = Sourced(30.0, "°C", "NEC 310.15(B)(1): ambient the ampacity tables are made for")

STANDARD_RATINGS_A = (
    *(10, 15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225),
    *(250, 300, 350, 400, 450, 500, 600, 700, 800, 1000, 1200, 1600, 2000, 2500, 3000, 4000),
    *(5000, 6000),
)
"""Standard ratings [A], NEC 2023, 240.6(A), from memory."""

INSULATION_DEGC = (60, 75, 90)
"""Insulation temperatures of the ampacity table's columns [°C]."""

AMPACITY_A: dict[tuple[str, str], tuple[int, int, int]] = {
    ("copper", "14"): (15, 20, 25),
    ("copper", "12"): (20, 25, 30),
    ("copper", "10"): (30, 35, 40),
    ("copper", "8"): (40, 50, 55),
    ("copper", "6"): (55, 65, 75),
    ("aluminium", "12"): (15, 20, 25),
    ("aluminium", "10"): (25, 30, 35),
    ("aluminium", "8"): (35, 40, 45),
    ("aluminium", "6"): (40, 50, 55),
}
"""(material, AWG) -> ampacity [A] at 60, 75, 90 °C; NEC 2023, Table 310.16."""

LARGEST_DEVICE_A: dict[tuple[str, str], int] = {
    ("copper", "14"): 15,
    ("copper", "12"): 20,
    ("copper", "10"): 30,
    ("aluminium", "12"): 15,
    ("aluminium", "10"): 25,
}
"""(material, AWG) -> largest overcurrent device [A] of a small conductor; NEC 240.4(D)."""

LOSS_RATINGS_A = (10, 16, 25, 32, 40, 50, 63, 100, 125)
LOSSES_W = (3.0, 3.5, 4.5, 6.0, 7.5, 9.0, 13.0, 15.0, 20.0)
"""Largest loss a pole [W] of ratings up to each of those [A]; IEC 60898-1, from memory."""


@dataclass(frozen=True)
class RiseLimits:
    """Largest rises [K] of a breaker's parts in its type test, over an air of `ambient_degc`."""

    standard: str
    ambient_degc: float
    terminal_k: float
    touched_metal_k: float
    touched_other_k: float
    known: str


UL_489 = RiseLimits("UL 489, 7.1.4", 40.0, 50.0, 20.0, 45.0, "published")
"""Terminals 50 K (60 K if rated for 100 %); touched surfaces at most 60 °C metal, 85 °C other."""
IEC_60898 = RiseLimits("IEC 60898-1, table of rises", 30.0, 60.0, 40.0, 60.0, "from memory")
"""Terminals 60 K; parts touched when operating 40 K, other outside parts 60 K."""


def continuous_limit_a(rated_a: Numbers) -> Array:
    """Return the largest continuous current [A] of a device of some rating [A]: 80 % of it.

    Does not hold for devices listed for 100 % of rating. Source: NEC 210.20(A), 215.3.

    >>> continuous_limit_a([15, 20, 30]).tolist()
    [12.0, 16.0, 24.0]
    """
    return np.asarray(numbers(rated_a) / CONTINUOUS_FACTOR.value)


def is_over_limit(current_a: Numbers, rated_a: Numbers, hours: Numbers) -> npt.NDArray[np.bool_]:
    """Tell whether a current [A] lasting some hours [h] is over what the rating [A] allows.

    80 % of rating from three hours on, 100 % for less: 95 % for 20 minutes is no violation.
    Source: NEC 210.20(A), 215.3, Article 100.

    >>> is_over_limit(14.25, 15, [20 / 60, 4]).tolist()
    [False, True]
    """
    lasting = numbers(hours) >= CONTINUOUS_HOURS.value
    limit = np.where(lasting, continuous_limit_a(rated_a), numbers(rated_a))
    return np.asarray(numbers(current_a) > limit)


def least_rating_a(continuous_a: Numbers, other_a: Numbers = 0.0) -> Array:
    """Return the least device rating [A] for continuous and other load [A]: 125 % plus 100 %.

    Source: NEC 210.20(A), 215.3.

    >>> float(least_rating_a(12, 4))
    19.0
    """
    return np.asarray(CONTINUOUS_FACTOR.value * numbers(continuous_a) + numbers(other_a))


def next_standard_rating_a(needed_a: Numbers) -> Array:
    """Return the next standard rating [A] at or above what is needed [A]; NaN above 6000 A.

    Source: NEC 240.6(A), from memory. The makers' lists decide what can be bought.

    >>> next_standard_rating_a([19.0, 60.0]).tolist()
    [20.0, 60.0]
    """
    steps = np.array([*STANDARD_RATINGS_A, np.nan])
    return np.asarray(steps[np.searchsorted(steps[:-1], numbers(needed_a), side="left")])


def ambient_factor(ambient_degc: Numbers, insulation_degc: Numbers) -> Array:
    """Return the factor [1] on an ampacity for another ambient than 30 °C.

    Takes ambient and insulation temperatures [°C], broadcastable; NaN where the air is as hot as
    the insulation may get. The printed table takes each five-degree band at its upper edge.
    Formula: √((Tc − Ta)/(Tc − 30)). Source: NEC 310.15(B).

    >>> round(float(ambient_factor(45, 90)), 2)
    0.87
    """
    limit = numbers(insulation_degc)
    room = limit - numbers(ambient_degc)
    share = np.where(room > 0, room, np.nan) / (limit - RATED_AMBIENT.value)
    return np.asarray(np.sqrt(share))


def ampacity_a(material: Sequence[str], awg: Sequence[str], insulation_degc: int = 60) -> Array:
    """Return the ampacity [A] of wires, NaN where the table here has none.

    Takes equally long lists of material (copper, aluminium) and size (AWG), and the insulation's
    60, 75 or 90 °C. Source: NEC 2023, Table 310.16; sizes 14 to 6 only.

    >>> ampacity_a(["copper", "copper"], ["14", "2"], 75).tolist()
    [20.0, nan]
    """
    if insulation_degc not in INSULATION_DEGC:
        raise UsageError(f"There is no {insulation_degc} °C column.", "Use 60, 75 or 90.")
    column = INSULATION_DEGC.index(insulation_degc)
    pairs = zip(material, awg, strict=True)
    return np.array([AMPACITY_A[key][column] if key in AMPACITY_A else np.nan for key in pairs])


def largest_device_a(material: Sequence[str], awg: Sequence[str]) -> Array:
    """Return the largest overcurrent device [A] of small conductors, NaN where none is set.

    Takes equally long lists of material and size (AWG). Source: NEC 240.4(D), with its exceptions
    (motors, cooling equipment) left out: an excess is a question, not a verdict.

    >>> largest_device_a(["copper", "aluminium"], ["14", "10"]).tolist()
    [15.0, 25.0]
    """
    pairs = zip(material, awg, strict=True)
    return np.array([float(LARGEST_DEVICE_A.get(key, np.nan)) for key in pairs])


def largest_loss_w(rated_a: Numbers) -> Array:
    """Return the largest loss a pole [W] of a breaker of some rating [A]; NaN above 125 A.

    Source: IEC 60898-1, power-loss table, from memory.

    >>> largest_loss_w([15, 20]).tolist()
    [3.5, 4.5]
    """
    losses = np.array([*LOSSES_W, np.nan])
    return np.asarray(losses[np.searchsorted(LOSS_RATINGS_A, numbers(rated_a), side="left")])


def largest_resistance_ohm(rated_a: Numbers) -> Array:
    """Return the largest resistance a pole [Ω]: the loss over the rating [A] squared.

    Derived from IEC 60898-1, power-loss table.

    >>> round(1000 * float(largest_resistance_ohm(16)), 1)
    13.7
    """
    return np.asarray(largest_loss_w(rated_a) / numbers(rated_a) ** 2)
