"""Gathers what the quarterly page is about from the marts."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING, Any, TypeVar

from analytics.errors import NotEnoughDataError, UsageError
from analytics.policy import Policy, default_policy, restore
from analytics.trends.protocol import WARM_K
from dashboards.quarter_found import Chance, MadeFound, Office, VerdictFound
from dashboards.quarter_kept import (
    Astray,
    FileCount,
    Known,
    Protocol,
    Recheck,
    Rejected,
    Unjudged,
)
from dashboards.quarter_listed import Listed
from dashboards.quarter_records import (
    BandPoint,
    Case,
    Held,
    QuarterCount,
    QuarterRecord,
    Referral,
    Slot,
    Standing,
    Version,
)

if TYPE_CHECKING:
    from analytics.trends.records import Trends
    from analytics.warehouse import Warehouse

CASE_COUNT = 10
"""Cases shown at most [1]; chosen: what one meeting can go through."""
MOST_LOAD = 1.25
"""End of the load axis [1]; chosen: a quarter above rating."""
LOAD_STEP = 0.025
"""Step of the band over the load [1]; chosen: every edge of a load band is a point of it."""

Row = TypeVar("Row")

RECORDS: dict[str, type] = {
    "marts.quarter_count": QuarterCount,
    "marts.quarter_standing": Standing,
    "marts.quarter_case": Case,
    "marts.quarter_case_slot": Slot,
    "marts.quarter_case_band": BandPoint,
    "marts.quarter_unjudged": Unjudged,
    "marts.quarter_recheck": Recheck,
    "marts.quarter_quarantine": Rejected,
    "marts.quarter_file": FileCount,
    "marts.quarter_protocol": Protocol,
    "marts.quarter_version": Version,
    "marts.quarter_held": Held,
    "marts.quarter_referral": Referral,
    "marts.quarter_listed": Listed,
    "marts.quarter_office": Office,
    "marts.quarter_chance": Chance,
    "marts.quarter_make": MadeFound,
    "marts.quarter_missed": VerdictFound,
    "marts.quarter_astray": Astray,
    "marts.quarter_known": Known,
}
"""Query -> record with its columns in the same order; a test compares the names."""


def checked(quarter: str) -> str:
    """Return a quarter such as 2026Q3. Raises UsageError for what is none."""
    if not re.fullmatch(r"[12]\d{3}Q[1-4]", quarter):
        raise UsageError(f"“{quarter}” is no quarter.", "Write it as 2026Q3.")
    return quarter


def held_quarters(warehouse: Warehouse) -> list[str]:
    """Return the quarters that the verdicts cover, in order; none before a screening."""
    if not warehouse.has_table("screening.result"):
        return []
    return [str(row[0]) for row in warehouse.rows("marts.quarter_held")]


def last_quarter(warehouse: Warehouse) -> str:
    """Return the latest quarter with a reading that does not contradict itself.

    Raises NotEnoughDataError where there is none.
    """
    held = held_quarters(warehouse)
    if not held:
        raise NotEnoughDataError(
            "No reading in this store has a verdict.", "Run loadrise ingest, fit and screen first."
        )
    return held[-1]


def collect(warehouse: Warehouse, quarter: str, trends: Trends | None = None) -> QuarterRecord:
    """Gather the record of a quarter such as 2026Q3 from a screened store.

    Takes the trends up to that quarter; without them the page says that nothing was compared.
    Where nothing was screened yet the record is blank and says so. Raises UsageError for what is no
    quarter.
    """
    checked(quarter)
    if not warehouse.has_table("screening.result"):
        return QuarterRecord(quarter, counts=(QuarterCount(quarter),), is_screened=False)

    made = collect_overview(warehouse, quarter, trends)
    return replace(made, **_work(warehouse, made), **_quality(warehouse, quarter))


def _work(warehouse: Warehouse, made: QuarterRecord) -> dict[str, Any]:
    """Return what there is to do in the quarter, and the cases first in line."""
    quarter, any_share = made.quarter, made.policy.load_any_share
    listed = _rows(
        warehouse,
        Listed,
        quarter=quarter,
        allowed_k=made.policy.flag_termination_rise_k,
        any_share=any_share,
        known_on=made.known.known_on,
    )
    drawn = [one.reading_id for one in listed if one.is_flagged and one.is_drawable]
    cases = _rows(warehouse, Case, reading_ids=drawn[:CASE_COUNT])
    return {
        "listed": listed,
        "offices": _rows(warehouse, Office, quarter=quarter, any_share=any_share),
        "cases": cases,
        "slots": _rows(warehouse, Slot, visit_ids=sorted({case.visit_id for case in cases})),
        "bands": _rows(
            warehouse,
            BandPoint,
            reading_ids=[case.reading_id for case in cases],
            most_load=max([MOST_LOAD, *(1.05 * case.load_fraction for case in cases)]),
            step=LOAD_STEP,
        ),
    }


def _quality(warehouse: Warehouse, quarter: str) -> dict[str, Any]:
    """Return how the quarter's readings stand, what was found, and what they rest on."""
    return {
        "standings": _rows(warehouse, Standing, quarter=quarter),
        "chances": _rows(warehouse, Chance, quarter=quarter),
        "makes": _rows(warehouse, MadeFound, quarter=quarter),
        "verdicts": _rows(warehouse, VerdictFound, quarter=quarter),
        "astray": _rows(warehouse, Astray, quarter=quarter),
        "unjudged": _rows(warehouse, Unjudged, quarter=quarter, warm_k=WARM_K),
        "rechecks": _rows(warehouse, Recheck, quarter=quarter),
        "rejected": _rows(warehouse, Rejected, quarter=quarter),
        "files": _rows(warehouse, FileCount, quarter=quarter)[0],
        "protocol": _rows(warehouse, Protocol, quarter=quarter)[0],
        "versions": _rows(warehouse, Version),
    }


def collect_overview(
    warehouse: Warehouse, quarter: str, trends: Trends | None = None
) -> QuarterRecord:
    """Gather of the record only what tells of all quarters up to one."""
    if not warehouse.has_table("screening.result"):
        return QuarterRecord(quarter, counts=(QuarterCount(quarter),), is_screened=False)
    policy = policy_of(warehouse)
    return QuarterRecord(
        quarter=quarter,
        counts=_rows(warehouse, QuarterCount, quarter=quarter, any_share=policy.load_any_share),
        policy=policy,
        known=_rows(warehouse, Known)[0],
        held=_rows(warehouse, Held),
        referrals=_rows(warehouse, Referral, quarter=quarter),
        trends=trends,
    )


def policy_of(warehouse: Warehouse) -> Policy:
    """Return the policy that most verdicts rest on; the default where its text was not kept."""
    found = warehouse.rows("marts.diagnostics_policy")
    return restore(str(found[0][1]), str(found[0][0])) if found else default_policy()


def _rows(warehouse: Warehouse, kind: type[Row], **params: object) -> tuple[Row, ...]:
    """Return the rows of a mart as the records that stand for it."""
    name = next(query for query, record in RECORDS.items() if record is kind)
    return tuple(kind(*row) for row in warehouse.rows(name, **params))
