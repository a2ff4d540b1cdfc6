"""`recalibrate`: whether findings would mend the stated chances, and the policy that does it."""

from __future__ import annotations

import datetime as dt
import textwrap
from dataclasses import dataclass

from analytics import __version__
from analytics.errors import NotConvergedError, NotEnoughDataError
from analytics.policy import LEAST, MOST, Policy, as_toml
from analytics.tuning.cells import build_candidates, build_findings, screened_policy
from analytics.tuning.examined import Examined, load_examined
from analytics.tuning.recalibration import Interval, Scores, intervals, scores
from analytics.tuning.telling import TEXT_WIDTH
from analytics.warehouse import Warehouse

LEAST_FAULTS, LEAST_CLEAR = 30, 30
"""Faults found, and examined devices that were not flagged, below which nothing is fitted [1];
chosen: with 30 of each a slope is known to about ± 0.3."""
DIGITS = 4
"""Decimals that intercept and slope are kept to; chosen, far below their intervals."""
SAME = 1e-9
"""Difference of two chance lines [1], as a share, up to which they are the same; rounding only."""
Fitted = tuple[Interval, Interval, Scores]


@dataclass(frozen=True)
class Recalibrated:
    """What findings make of the chances; `policy` is None where they cannot tell.

    Intercept and slope [1] are on the log odds as the fleet teaches them, whatever the policy of
    the last screening made of them.
    """

    former_version: str
    baseline_version: str
    findings: int
    faulty: int
    clear: int
    panels: int
    intercept: Interval | None
    slope: Interval | None
    scores: Scores | None
    policy: Policy | None
    sentence: str

    def lines(self) -> list[str]:
        """Return it in plain words, the sentence that matters first."""
        return [
            *textwrap.wrap(self.sentence, TEXT_WIDTH),
            "",
            *(line for one in self._rest() for line in textwrap.wrap(one, TEXT_WIDTH)),
        ]

    def _rest(self) -> list[str]:
        rows = [
            f"{self.findings:,} findings of {self.panels:,} panels, {self.faulty:,} of them a "
            f"fault; {self.clear:,} of devices that were not flagged. Each stands for all readings "
            "of its band of evidence, flagged and not apart."
        ]
        if self.intercept is None or self.slope is None or self.scores is None:
            return rows
        one = self.scores
        return [
            *rows,
            f"Log odds: intercept {_told(self.intercept)}, slope {_told(self.slope)}; 0 and 1 "
            "leave the chances as the fleet teaches them.",
            f"Across panels, smaller is better: log score {one.log_before:.4f} becomes "
            f"{one.log_after:.4f}, gain {_told(one.log_gain, 4)}; Brier's score "
            f"{one.brier_before:.4f} becomes {one.brier_after:.4f}, gain "
            f"{_told(one.brier_gain, 4)}.",
        ]

    def toml(self, day: dt.date) -> str:
        """Return the policy as a file, the evidence in its head: adopting it keeps both."""
        if self.policy is None:
            raise NotEnoughDataError(self.sentence)
        origin = (
            f"Recalibrated on {day:%Y-%m-%d} by Loadrise {__version__} from policy "
            f"{self.former_version}, baseline {self.baseline_version}."
        )
        head = [origin, *self._rest()]
        lines = [f"# {line}" for one in head for line in textwrap.wrap(one, TEXT_WIDTH - 2)]
        return "\n".join(lines) + "\n\n" + as_toml(self.policy)


def recalibrate(
    warehouse: Warehouse, *, is_same_flagged: bool = False, is_guess_accepted: bool = False
) -> Recalibrated:
    """Fit what findings make of the stated chances; the store may be open to be read only.

    With `is_same_flagged` the chance lines move along, so that the same devices are flagged.
    Nothing is put in force: the policy goes to `adopt`. Raises as `analytics.tuning.tune`.
    """
    former = screened_policy(warehouse)
    build_findings(warehouse, is_guess_accepted=is_guess_accepted)
    build_candidates(warehouse, former)
    examined = load_examined(warehouse, former)
    baseline = warehouse.fetch("select min(baseline_version) from screening.result")[0][0]
    fitted = _fitted(examined)
    policy = None
    if fitted and fitted[2].log_gain.low > 0:
        policy = _moved(former, fitted, is_same_flagged=is_same_flagged)
    return Recalibrated(
        former.version,
        str(baseline),
        len(examined.logit),
        int(examined.is_fault.sum()),
        examined.clear_count,
        examined.panel_count,
        fitted[0] if fitted else None,
        fitted[1] if fitted else None,
        fitted[2] if fitted else None,
        policy,
        _sentence(examined, fitted[2] if fitted else None, former, policy),
    )


def _fitted(examined: Examined) -> Fitted | None:
    """Return intercept, slope and scores; None with too few findings or where no line fits."""
    if examined.is_fault.sum() < LEAST_FAULTS or examined.clear_count < LEAST_CLEAR:
        return None
    try:
        found = (*intervals(examined), scores(examined))
    except (NotConvergedError, NotEnoughDataError):
        return None
    return found if _is_allowed(found) else None


def _is_allowed(fitted: Fitted) -> bool:
    """Tell whether intercept and slope lie within what a policy may say."""
    names = ("calibration_intercept", "calibration_slope")
    return all(
        LEAST[key] <= one.value <= MOST[key] for key, one in zip(names, fitted[:2], strict=True)
    )


def _moved(former: Policy, fitted: Fitted, *, is_same_flagged: bool) -> Policy:
    policy = former.moved(
        calibration_intercept=round(fitted[0].value, DIGITS),
        calibration_slope=round(fitted[1].value, DIGITS),
    )
    if not is_same_flagged:
        return policy
    keys = ("flag_probability", "flag_loaded_probability")

    def carried(chance: float) -> float:
        return policy.recalibrated(former.stated(chance))

    own = [
        (name, key, carried(line) if key == "probability" else line)
        for name, key, line in former.own
    ]
    return policy.moved(**{key: carried(getattr(former, key)) for key in keys}).with_own(own)


def _sentence(
    examined: Examined, found: Scores | None, former: Policy, policy: Policy | None
) -> str:
    faulty, clear = int(examined.is_fault.sum()), examined.clear_count
    if faulty < LEAST_FAULTS or clear < LEAST_CLEAR:
        return (
            f"Too few findings to recalibrate on: {faulty:,} faults, of {LEAST_FAULTS} wanted, and "
            f"{clear:,} examined devices that were not flagged, of {LEAST_CLEAR} wanted; "
            "loadrise tune --plan draws them."
        )
    if found is None:
        return (
            "No straight line on the log odds fits these findings within what a policy may hold "
            f"(slope from {LEAST['calibration_slope']:g} to {MOST['calibration_slope']:g}): leave "
            "the chances as they are."
        )
    if policy is None:
        return (
            "Leave the chances as they are: recalibrated on other panels they come no nearer to "
            f"what was found (gain {_told(found.log_gain, 4)} of the log score)."
        )
    line = policy.recalibrated(former.stated(former.flag_probability))
    head = (
        "Recalibrating brings the chances nearer to what was found, on panels that it was not "
        f"fitted on. A chance stated as {100 * former.flag_probability:.3g} % becomes "
        f"{100 * line:.3g} %"
    )
    if abs(policy.flag_probability - line) < SAME * line:
        return (
            f"{head}, and the line with it: the same devices are flagged, and loadrise tune "
            "proposes what it proposed before. It comes into force by loadrise adopt."
        )
    return (
        f"{head}, but the line stays at {100 * policy.flag_probability:.3g} %: what that does to "
        "the flags, loadrise tune --against tells. With --same-flags the line moves along, and "
        "loadrise tune proposes what it proposed before. It comes into force by loadrise adopt."
    )


def _told(one: Interval, digits: int = 2) -> str:
    return f"{one.value:.{digits}f} ({one.low:.{digits}f} to {one.high:.{digits}f})"
