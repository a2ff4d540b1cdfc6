"""The history of verdicts: a row each time one is new or reads otherwise than before."""

from __future__ import annotations

import hashlib

from analytics import __version__
from analytics.history.policies import keep_policy
from analytics.policy import Policy
from analytics.warehouse import Warehouse

_NO_EARLIER = """
create or replace table screening.earlier (
    reading_id bigint, verdict varchar, reason varchar, next_step varchar, probability double)
"""


def set_earlier_aside(warehouse: Warehouse) -> None:
    """Set the last verdicts aside, to compare with; nothing where none is in the history yet."""
    is_recorded = warehouse.fetch("select count(*) from records.screening")[0][0] > 0
    if warehouse.has_table("screening.result"):
        warehouse.build("screening.earlier", is_recorded=is_recorded)
    else:
        warehouse.execute(_NO_EARLIER)


def record_verdicts(warehouse: Warehouse, policy: Policy, baseline_version: str) -> int:
    """Add a screening and the verdicts it changed to the history; return how many those are.

    Call inside the transaction that replaces `screening.result`, after `set_earlier_aside`.
    """
    number = warehouse.fetch("select coalesce(max(screening_id), 0) + 1 from records.screening")
    screening_id = int(number[0][0])
    changed = warehouse.append(
        "marts.verdict_changed", "records.verdict", screening_id=screening_id
    )
    warehouse.drop("screening.earlier")
    keep_policy(warehouse, policy)
    warehouse.execute(
        "insert into records.screening values ($number, current_timestamp, $policy, $baseline, "
        "$data, $program, (select count(*) from screening.result), $changed)",
        {
            "number": screening_id,
            "policy": policy.version,
            "baseline": baseline_version,
            "data": data_hash(warehouse),
            "program": __version__,
            "changed": changed,
        },
    )
    return changed


def data_hash(warehouse: Warehouse) -> str:
    """Return what tells this state of the readings from another, as a baseline keeps it."""
    found = warehouse.rows("checks.data_hash")
    return hashlib.sha256(repr(found).encode()).hexdigest()[:16]
