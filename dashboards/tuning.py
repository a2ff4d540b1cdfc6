"""Gathers what the tuning page is about: every number comes from the records of the tuning."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from analytics import tuning
from analytics.errors import UsageError
from analytics.policy import Policy
from analytics.tuning.cells import screened_policy
from analytics.tuning.lines import Lines

if TYPE_CHECKING:
    from analytics.tuning import Agreed, Flips, Matched, Plan, Recalibrated, Tuned
    from analytics.tuning.candidates import Candidate
    from analytics.tuning.choice import Costs
    from analytics.warehouse import Warehouse

PLAN_VISITS = 40
"""Devices that the page draws where nothing else is asked for [1]; chosen: a month's worth."""


@dataclass(frozen=True)
class TuningRecord:
    """What the findings say, the policy set beside the one in force, and what it would turn over.

    `flips` is None where there is no other policy, or where `trouble` says why it cannot be judged.
    `is_given` where the reader named the policy set beside; `pending` tells of one in force that
    has not been screened with yet; `options` is what was asked for, as it is typed.
    """

    tuned: Tuned
    proposed: Policy | None
    flips: Flips | None
    plan: Plan
    matched: Matched
    recalibrated: Recalibrated
    agreed: Agreed
    trouble: str = ""
    pending: str = ""
    is_given: bool = False
    options: str = ""

    @property
    def is_blind(self) -> bool:
        """Whether none of the devices that were not flagged was examined."""
        return self.tuned.wanted > 0

    @property
    def compared(self) -> Candidate | None:
        """The candidate that the choice sets beside the policy in force, whatever was given."""
        found = [one for one in self.tuned.candidates if one.is_proposed and not one.is_in_force]
        return found[0] if found and not self.is_blind else None


def collect(
    warehouse: Warehouse,
    costs: Costs | None = None,
    strata: Sequence[str] = (),
    *,
    against: Policy | None = None,
    visits: int | None = None,
    most_visits: float | None = None,
    is_guess_accepted: bool = False,
    pending: str = "",
    is_shared: bool = False,
) -> TuningRecord:
    """Gather the record; `against` is set beside the policy in force, else the one proposed.

    `visits` are drawn for the plan; left out, as many as are wanted, or a month's worth.
    Raises as `analytics.tuning.tune` does.
    """
    tuned = tuning.tune(
        warehouse,
        costs,
        strata,
        most_visits=most_visits,
        is_guess_accepted=is_guess_accepted,
        is_shared=is_shared,
    )
    number = visits or tuned.wanted or PLAN_VISITS
    plan = tuning.plan(warehouse, number, is_guess_accepted=is_guess_accepted)
    matched = tuning.matched(warehouse, is_guess_accepted=is_guess_accepted)
    again = tuning.recalibrate(warehouse, is_guess_accepted=is_guess_accepted)
    agreed = tuning.agreement(warehouse)
    proposed = against or tuned.recommended or _proposed(tuned, screened_policy(warehouse))
    flips, trouble = None, ""
    if proposed is not None:
        try:
            flips = tuning.flips(warehouse, proposed, is_guess_accepted=is_guess_accepted)
        except UsageError as error:
            trouble = str(error)
    return TuningRecord(
        tuned, proposed, flips, plan, matched, again, agreed, trouble, pending,
        against is not None, _options(costs, strata, most_visits, is_guess_accepted, is_shared),
    )  # fmt: skip


def _options(
    costs: Costs | None,
    strata: Sequence[str],
    most_visits: float | None,
    is_guess_accepted: bool,
    is_shared: bool,
) -> str:
    """Return what was asked for, as it is typed after `loadrise tune`."""
    words = [f"--missed-cost {costs.missed:.15g} --visit-cost {costs.visit:.15g}"] if costs else []
    words += [f"--most-visits {most_visits:.15g}"] if most_visits else []
    words += [f"--by {name}" for name in strata]
    words += ["--accept-guesses"] if is_guess_accepted else []
    words += ["--shared"] if is_shared else []
    return "".join(f" {word}" for word in words)


def _proposed(tuned: Tuned, policy: Policy) -> Policy | None:
    """Return the policy proposed, though the findings cannot tell it; None where in force."""
    for one in tuned.candidates:
        if one.is_proposed and not one.is_in_force and not tuned.wanted:
            four = (one.probability, one.heat_ratio, one.lift_k, one.load_share)
            return Lines(four).put_into(policy).with_own(one.own)
    return None
