"""What is caught by class, load and office: by the evidence of the whole, so that parts add up.

A part's faults are those expected of its mix of evidence and load by the shares of all, times how
many more or fewer were found among its examined than expected there (indirect standardisation).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from analytics.notices import Notice
from analytics.statistics.few_events import Limits, gamma_limits, ratio_limits
from analytics.statistics.sourced import Array, numbers
from analytics.statistics.verification import Rate, Table, naive
from analytics.tuning.bands import Ints, joined_sides
from analytics.warehouse import Warehouse

UNKNOWN = Rate(float("nan"), 0.0, 1.0)
"""A share of which nothing is known [1]."""
LEAST_SPREAD = 0.3
"""Least spread of the parts' factors about 1 [1]; chosen: where few findings show no difference
between parts, one of about a third is still thought possible."""
BEYOND_CHANCE = 2.39
"""Standard errors from which parts and whole disagree: 5 % over three subjects (Bonferroni)."""
WORDS = {"class": "device class", "load": "load", "office": "office"}


@dataclass(frozen=True)
class Margin:
    """One class, load band or office: how many flagged and examined, and what is caught there.

    `examined_clear` are those examined of `clear`, the devices not flagged; `missed` are the faults
    not flagged, of all readings: those of all levels of a subject add up to the whole's. `naive` is
    the share among the examined alone, which flatters. Where no fault was found nothing is said.
    """

    subject: str
    level: str
    flagged: int
    examined: int
    faulty: int
    clear: int
    examined_clear: int
    missed: float
    sensitivity: Rate
    naive: Rate


@dataclass(frozen=True)
class Side:
    """The flagged, or the rest, by part and kind: readings, examined, faulty, (parts, kinds)."""

    count: Array
    examined: Array
    faulty: Array

    @property
    def share(self) -> Array:
        """Share faulty among the examined of each kind [1], all parts together, shape (kinds,)."""
        seen = self.examined.sum(axis=0)
        return np.divide(self.faulty.sum(axis=0), seen, out=np.zeros_like(seen), where=seen > 0)

    def parts(self, total: float) -> tuple[Array, Array, Array]:
        """Return faults of each part, `total` in all, and their 95 % limits, (parts,) each.

        The limits put together those of what is expected of a part's kinds and those of how many
        times that it has, on the scale of logarithms; the lower one is nil where none was found.
        """
        expected = self.count @ self.share
        middle, low, high = _factors(self.faulty.sum(axis=1), self.examined @ self.share)
        found = expected * middle
        scale = total / float(found.sum()) if found.sum() > 0 else 1.0
        ends = np.array([self._expected_limits(number) for number in range(len(expected))])
        with np.errstate(divide="ignore", invalid="ignore"):
            thin = np.hypot(np.log(middle / low), np.log(expected / ends[:, 0]))
            wide = np.hypot(np.log(high / middle), np.log(ends[:, 1] / expected))
            lower, upper = scale * found * np.exp(-thin), scale * found * np.exp(wide)
        is_any = expected > 0
        lower = np.where(is_any & (self.faulty.sum(axis=1) > 0), lower, 0.0)
        upper = np.where(is_any, upper, ends[:, 1] * high)
        return scale * found, lower, np.minimum(upper, self.count.sum(axis=1))

    def _expected_limits(self, part: int) -> Limits:
        """Return limits of the faults expected of a part's kinds by the shares of all parts."""
        seen = self.examined.sum(axis=0)
        known = (seen > 0) & (self.count[part] > 0)
        weight = self.count[part, known] / seen[known]
        return gamma_limits(weight, self.faulty.sum(axis=0)[known])


def margins(
    warehouse: Warehouse, whole: tuple[float, float]
) -> tuple[tuple[Margin, ...], tuple[Notice, ...]]:
    """Return them from `tuning.candidate`, and where parts and whole disagree beyond chance.

    `whole` holds the faults flagged and missed in all, which those of every subject add up to.
    """
    frame = warehouse.frame("tuning.margin")
    found: list[Margin] = []
    notices = []
    for subject in WORDS:
        rows = frame[frame["subject"] == subject]
        levels, part = np.unique(rows["level"].to_numpy(dtype=str), return_inverse=True)
        flagged = rows["is_flagged"].to_numpy(np.bool_)
        counts = [rows[name].to_numpy(np.float64) for name in _COUNTS]
        kind = joined_sides(
            flagged,
            rows["evidence_band"].to_numpy(np.int64),
            rows["load_band"].to_numpy(np.int64),
            counts[1],
        )
        sides = [_side(part, kind, counts, mask) for mask in (flagged, ~flagged)]
        found += subject_margins(subject, levels.tolist(), sides, whole)
        notices += _disagreement(subject, *sides)
    return tuple(found), tuple(notices)


_COUNTS = ("reading_count", "examined_count", "fault_count")


def _side(part: Ints, kind: Ints, counts: Sequence[Array], mask: Array) -> Side:
    shape = (int(part.max()) + 1, int(kind.max()) + 1)
    places = part * shape[1] + kind
    size = shape[0] * shape[1]
    tables = (np.bincount(places, np.where(mask, one, 0.0), size).reshape(shape) for one in counts)
    return Side(*(numbers(one) for one in tables))


def subject_margins(
    subject: str, levels: Sequence[str], sides: Sequence[Side], whole: tuple[float, float]
) -> list[Margin]:
    """Return the margin of every level; `sides` are the flagged and the rest, rows the levels."""
    caught, missed = (side.parts(total) for side, total in zip(sides, whole, strict=True))
    return [
        _margin(
            subject,
            level,
            sides,
            number,
            tuple(float(one[number]) for one in caught),
            tuple(float(one[number]) for one in missed),
        )
        for number, level in enumerate(levels)
    ]


def _margin(
    subject: str,
    level: str,
    sides: Sequence[Side],
    number: int,
    caught: tuple[float, ...],
    missed: tuple[float, ...],
) -> Margin:
    rows = [
        [float(one[number].sum()) for one in (side.count, side.examined, side.faulty)]
        for side in sides
    ]
    faulty = int(rows[0][2] + rows[1][2])
    plain = Table.of(*([bad, seen - bad, count - seen] for count, seen, bad in rows))
    return Margin(
        subject,
        level,
        int(rows[0][0]),
        int(rows[0][1] + rows[1][1]),
        faulty,
        int(rows[1][0]),
        int(rows[1][1]),
        missed[0],
        _sensitivity(caught, missed) if faulty else UNKNOWN,
        naive(plain) if faulty else UNKNOWN,
    )


def _sensitivity(caught: tuple[float, ...], missed: tuple[float, ...]) -> Rate:
    """Return the share caught with its interval, limits of the two counts put together (MOVER)."""
    both = caught[0] + missed[0]
    if both <= 0:
        return UNKNOWN
    low, high = ratio_limits(missed[0], (missed[1], missed[2]), caught[0], (caught[1], caught[2]))
    return Rate(caught[0] / both, 1 / (1 + high), 1 / (1 + low))


def _factors(observed: Array, expected: Array) -> tuple[Array, Array, Array]:
    """Return how many times the expected faults a part has [1], with 95 % limits, (parts,) each.

    Observed counts are Poisson about the expected ones times a factor, and factors are of a gamma
    law of mean 1 whose spread is learned by moments.
    Source: D. Clayton, J. Kaldor, Biometrics 43 (1987) 671 (from memory).
    """
    from scipy.special import gammaincinv

    square = float(np.sum(expected**2))
    excess = float(np.sum((observed - expected) ** 2 - expected))
    variance = max(excess / square if square > 0 else 0.0, LEAST_SPREAD**2)
    shape, rate = observed + 1 / variance, expected + 1 / variance
    low, high = (numbers(gammaincinv(shape, tail) / rate) for tail in (0.025, 0.975))
    return shape / rate, low, high


def _disagreement(subject: str, flagged: Side, clear: Side) -> list[Notice]:
    """Tell where correcting within the parts moves the whole beyond chance.

    Each examined device stands for its kind, or for its kind in its part: the two differ where
    whom electricians visit hangs together, over parts, with who is faulty.
    """
    pooled = numbers(clear.share)
    seen = clear.examined
    own = np.where(seen > 0, clear.faulty / np.maximum(seen, 1.0), pooled)
    whole, by_part = float(np.sum(clear.count @ pooled)), float(np.sum(clear.count * own))
    total = seen.sum(axis=0)
    alike = np.divide(clear.count.sum(axis=0), total, out=np.zeros_like(total), where=total > 0)
    within = np.divide(clear.count, seen, out=np.zeros_like(seen), where=seen > 0)
    spread = float(np.sqrt(np.sum(pooled * (1 - pooled) * seen * (within - alike) ** 2)))
    if not spread or abs(by_part - whole) <= BEYOND_CHANCE * spread:
        return []
    caught = float(np.sum(flagged.count @ flagged.share))
    shares = [100 * caught / (caught + one) for one in (by_part, whole)]
    return [
        Notice(
            f"parts_differ_{subject}",
            f"Corrected by {WORDS[subject]} as well, {shares[0]:.0f} % of the faults are flagged, "
            f"in place of {shares[1]:.0f} %, beyond chance: whom electricians visit differs there. "
            f"Believe the former: tune --by {subject}.",
        )
    ]
