"""What is caught by class, load and office: corrected for who was examined, and plain beside it."""

from __future__ import annotations

from dataclasses import dataclass

from analytics.statistics.verification import Rate, Table, corrected, naive
from analytics.warehouse import Warehouse

UNKNOWN = Rate(float("nan"), 0.0, 1.0)
"""A share of which nothing is known [1]."""


@dataclass(frozen=True)
class Margin:
    """One class, load band or office: how many flagged and examined, and what is caught there.

    `examined_clear` are those examined of `clear`, the devices not flagged; where that is 0,
    `sensitivity` is a bound. `naive` is the share among the examined alone, which flatters.
    """

    subject: str
    level: str
    flagged: int
    examined: int
    faulty: int
    clear: int
    examined_clear: int
    sensitivity: Rate
    naive: Rate


def margins(warehouse: Warehouse) -> tuple[Margin, ...]:
    """Return them from `tuning.candidate`, each level of each subject for itself."""
    return tuple(
        _margin(str(subject), str(level), counts)
        for subject, level, *counts in warehouse.rows("tuning.margin")
    )


def _margin(subject: str, level: str, counts: list[int]) -> Margin:
    flagged, clear = counts[:3], counts[3:]
    faulty = flagged[0] + clear[0]
    table = Table.of(flagged, clear)
    return Margin(
        subject,
        level,
        sum(flagged),
        faulty + flagged[1] + clear[1],
        faulty,
        sum(clear),
        clear[0] + clear[1],
        corrected(table).sensitivity if faulty else UNKNOWN,
        naive(table) if faulty else UNKNOWN,
    )
