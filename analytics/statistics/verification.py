"""Sensitivity and false alarms where mostly the flagged were examined: partial verification.

A flagged device is examined more often than one that was not, so the plain shares among examined
devices flatter the sensitivity. Within a stratum, and given whether it was flagged, who is examined
is taken to have nothing to do with what is found; where that is wrong the correction is wrong too.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from analytics.errors import NotEnoughDataError, UsageError
from analytics.statistics.few_events import gamma_limits, ratio_limits, share_limits
from analytics.statistics.proportions import Z95
from analytics.statistics.sourced import Array, Numbers, numbers

Method = Literal["delta", "logit", "few"]


@dataclass(frozen=True)
class Rate:
    """A share [1] with its 95 % interval; where it is only a bound, `value` is NaN."""

    value: float
    low: float
    high: float
    error: float = float("nan")

    @property
    def is_bound(self) -> bool:
        """Whether the data give no point, only the interval."""
        return bool(np.isnan(self.value))


@dataclass(frozen=True)
class Table:
    """Counts by stratum, each of shape (strata,): found faulty, found sound, never examined."""

    flagged_faulty: Array
    flagged_sound: Array
    flagged_unseen: Array
    clear_faulty: Array
    clear_sound: Array
    clear_unseen: Array

    @classmethod
    def of(cls, flagged: Sequence[Numbers], clear: Sequence[Numbers]) -> Table:
        """Build from (faulty, sound, unseen) of the flagged and of the rest; numbers or arrays.

        Raises UsageError where a count is negative.
        """
        counts = [np.atleast_1d(numbers(one)) for one in (*flagged, *clear)]
        if any(np.any(one < 0) for one in counts):
            raise UsageError("A count is negative.")
        return cls(*counts)

    @property
    def mirrored(self) -> Table:
        """The same with faulty for sound and flagged for clear: its sensitivity is specificity."""
        return Table(
            self.clear_sound,
            self.clear_faulty,
            self.clear_unseen,
            self.flagged_sound,
            self.flagged_faulty,
            self.flagged_unseen,
        )


@dataclass(frozen=True)
class Corrected:
    """Shares [1] corrected for partial verification, beside the naive ones of the examined only."""

    sensitivity: Rate
    specificity: Rate
    wasted_share: Rate
    fault_share: float
    faulty_count: float
    naive_sensitivity: float
    naive_specificity: float

    @property
    def false_alarm_share(self) -> Rate:
        """Share of sound devices that is flagged [1]."""
        one = self.specificity
        return Rate(1 - one.value, 1 - one.high, 1 - one.low, one.error)


@dataclass(frozen=True)
class _Side:
    """One side of the table: all, examined, share faulty among the examined; shape (strata,)."""

    total: Array
    examined: Array
    share: Array

    @property
    def is_unknown(self) -> Array:
        return np.asarray((self.total > 0) & (self.examined == 0))

    def filled(self, share: float) -> _Side:
        """Return it with that share where nothing was examined."""
        return replace(self, share=np.where(self.is_unknown, share, self.share))

    @property
    def count(self) -> float:
        """How many are faulty."""
        return float(np.sum(self.total * np.where(self.total > 0, self.share, 0.0)))

    def drawing(self) -> float:
        """Variance of the count that comes from examining a part; nothing where all were seen."""
        known = self.examined > 0
        share = np.where(known, self.share, 0.0)
        weight = np.where(known, self.total**2 / np.where(known, self.examined, 1), 0.0)
        return float(np.sum(weight * share * (1 - share)))


def corrected(table: Table, method: Method = "few") -> Corrected:
    """Return sensitivity and specificity corrected for partial verification, over all strata.

    `method` names the interval: "delta" (symmetric), "logit", or "few", which holds with few or no
    faults found among the rest. A stratum with devices of which none was examined gives no point:
    the value is NaN and the interval runs from all of them faulty to none. `faulty_count` then
    counts the strata that were examined. Raises NotEnoughDataError where no fault was ever found.
    Formula: Se = Σ N1 λ1 / (Σ N1 λ1 + Σ N0 λ0), λ the share faulty among the examined.
    Source: C. B. Begg, R. A. Greenes, Biometrics 39 (1983) 207; strata as covariates there.

    >>> found = corrected(Table.of((231, 32, 166), (27, 54, 140)), "logit")
    >>> round(found.sensitivity.value, 4), round(found.specificity.value, 4)
    (0.8365, 0.7384)
    """
    if not np.any(table.flagged_faulty + table.clear_faulty > 0):
        raise NotEnoughDataError("No examined device was faulty.", "More findings are needed.")
    flagged, clear = _sides(table)
    mirror_flagged, mirror_clear = _sides(table.mirrored)
    faulty = flagged.filled(0).count + clear.filled(0).count
    return Corrected(
        sensitivity=_rate(flagged, clear, method),
        specificity=_rate(mirror_flagged, mirror_clear, method),
        wasted_share=_wasted(flagged),
        fault_share=faulty / float(np.sum(flagged.total + clear.total)),
        faulty_count=faulty,
        naive_sensitivity=_share(table.flagged_faulty, table.clear_faulty),
        naive_specificity=_share(table.clear_sound, table.flagged_sound),
    )


def naive(table: Table) -> Rate:
    """Return the sensitivity among the examined alone, with Wilson's interval, to set beside.

    Source: E. B. Wilson, J. Am. Stat. Assoc. 22 (1927) 209. Flatters wherever the flagged are
    examined more often than the rest.

    >>> round(naive(Table.of((231, 32, 166), (27, 54, 140))).value, 3)
    0.895
    """
    hit = float(table.flagged_faulty.sum())
    all_faulty = hit + float(table.clear_faulty.sum())
    low, high = share_limits(hit, all_faulty)
    return Rate(hit / all_faulty, low, high)


def _share(part: Array, rest: Array) -> float:
    total = float(part.sum() + rest.sum())
    return float(part.sum()) / total if total else float("nan")


def _sides(table: Table) -> tuple[_Side, _Side]:
    def side(faulty: Array, sound: Array, unseen: Array) -> _Side:
        examined = faulty + sound
        share = np.divide(faulty, examined, out=np.zeros_like(examined), where=examined > 0)
        return _Side(examined + unseen, examined, share)

    return (
        side(table.flagged_faulty, table.flagged_sound, table.flagged_unseen),
        side(table.clear_faulty, table.clear_sound, table.clear_unseen),
    )


def _rate(flagged: _Side, clear: _Side, method: Method) -> Rate:
    """Return the share of the faulty that is flagged; a bound where a stratum is unexamined."""
    if not (np.any(flagged.is_unknown) or np.any(clear.is_unknown)):
        return _point(flagged, clear, method)
    worst = _point(flagged.filled(0.0), clear.filled(1.0), method)
    best = _point(flagged.filled(1.0), clear.filled(0.0), method)
    return Rate(float("nan"), worst.low, best.high)


def _point(flagged: _Side, clear: _Side, method: Method) -> Rate:
    hit, missed = flagged.count, clear.count
    if hit + missed == 0:
        return Rate(float("nan"), 0.0, 1.0)
    value = hit / (hit + missed)
    error = _error(flagged, clear) if hit > 0 and missed > 0 else float("nan")
    if method == "few" or np.isnan(error):
        return Rate(value, *_few(flagged, clear), error)
    if method == "delta":
        return Rate(value, max(value - Z95 * error, 0.0), min(value + Z95 * error, 1.0), error)
    logit, step = np.log(hit / missed), Z95 * error / (value * (1 - value))
    low, high = (float(1 / (1 + np.exp(-(logit + s)))) for s in (-step, step))
    return Rate(value, low, high, error)


def _error(flagged: _Side, clear: _Side) -> float:
    """Return the standard error of Se [1] by the delta method, strata drawn as a multinomial."""
    hit, missed = flagged.count, clear.count
    relative = 0.0
    for side, count in ((flagged, hit), (clear, missed)):
        relative += (float(np.sum(side.total * side.share**2)) + side.drawing()) / count**2
    value = hit / (hit + missed)
    return float(value * (1 - value) * np.sqrt(relative))


def _few(flagged: _Side, clear: _Side) -> tuple[float, float]:
    """Return limits of Se from those of the two counts, put together by MOVER."""
    hit, hit_limits = flagged.count, _binomial_limits(flagged)
    missed, missed_limits = clear.count, _poisson_limits(clear)
    low, high = ratio_limits(missed, missed_limits, hit, hit_limits)
    return 1 / (1 + high), 1 / (1 + low)


def _binomial_limits(side: _Side) -> tuple[float, float]:
    """Return limits of a count of faulty that is no small share: Wilson, effective number."""
    total = float(side.total.sum())
    share, drawn = side.count / total if total else 0.0, side.drawing() / total**2 if total else 0
    plain = share * (1 - share)
    number = plain / drawn if drawn > 0 and plain > 0 else float(side.examined.sum())
    low, high = share_limits(share * number, number)
    return low * total, high * total


def _poisson_limits(side: _Side) -> tuple[float, float]:
    """Return limits of a count of faulty that is a small share, by strata of unequal weight."""
    known = side.examined > 0
    weight = side.total[known] / side.examined[known]
    events = side.share[known] * side.examined[known]
    fixed = float(np.sum((side.total * side.share)[~known]))
    low, high = gamma_limits(weight, events)
    most = float(side.total[known].sum())
    return fixed + low, fixed + min(high, most)


def _wasted(flagged: _Side) -> Rate:
    """Return the share of the flagged with nothing the matter [1]."""
    total = float(flagged.total.sum())
    if total == 0:
        return Rate(float("nan"), 0.0, 1.0)
    if np.any(flagged.is_unknown):
        least, most = flagged.filled(0.0), flagged.filled(1.0)
        low, high = _binomial_limits(least)[0], _binomial_limits(most)[1]
        return Rate(float("nan"), 1 - high / total, 1 - low / total)
    low, high = _binomial_limits(flagged)
    return Rate(1 - flagged.count / total, 1 - high / total, 1 - low / total)
