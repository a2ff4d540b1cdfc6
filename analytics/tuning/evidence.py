"""What a proposed policy rests on, for the head of its file."""

from __future__ import annotations

from analytics.tuning.report import Tuned
from analytics.tuning.words import basis


def evidence(tuned: Tuned) -> list[str]:
    """Return what a proposed policy rests on, in sentences, for the head of its file."""
    costs = tuned.costs
    if costs is None:
        return basis(tuned)[:2]
    money = (
        f"A missed fault was set at {costs.missed:,.15g}, a visit in vain at {costs.visit:,.15g}."
    )
    return [money, *basis(tuned)[:2]]
