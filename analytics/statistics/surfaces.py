"""Emissivities of what a camera sees in a panel, as ranges from published compilations."""

from __future__ import annotations

from dataclasses import dataclass

from analytics.errors import UsageError
from analytics.statistics.sourced import Known


@dataclass(frozen=True)
class Emissivity:
    """Lowest and highest usual emissivity [1] of a surface; `known` says how far to trust it."""

    low: float
    high: float
    known: Known = "published"
    source: str = "published compilations of total normal emissivity"


EMISSIVITIES = {
    "vinyl_tape": Emissivity(0.96, 0.96),
    "dull_pvc": Emissivity(0.93, 0.93),
    "moulded_case": Emissivity(0.90, 0.95, "from memory"),
    "copper_polished": Emissivity(0.03, 0.03),
    "copper_oxidised": Emissivity(0.4, 0.8),
    "aluminium_bare": Emissivity(0.02, 0.1),
}


def emissivity(surface: str) -> Emissivity:
    """Return the usual emissivity of a surface; raises UsageError for one that is not listed.

    >>> emissivity("vinyl_tape").low
    0.96
    """
    if surface not in EMISSIVITIES:
        raise UsageError(f"“{surface}” is none of {', '.join(EMISSIVITIES)}.")
    return EMISSIVITIES[surface]
