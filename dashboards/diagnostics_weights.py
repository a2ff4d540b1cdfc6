"""The fit with and without weights, side by side, on a copy in memory: the store stays as it is.

Who is clamped depends on how warm a device looks. Weighting each row by 1 / share clamped (Horvitz
& Thompson 1952) makes the clamped rows stand for all; where that changes little, the selection did
no harm.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from analytics.baseline import fit
from analytics.errors import NotConvergedError
from analytics.policy import Policy, default_policy, restore
from analytics.screening import screen
from analytics.settings import BaselineSettings
from analytics.warehouse import open_store
from dashboards.diagnostics import gather
from dashboards.diagnostics_records import Clamped, Fit, Flagged, Group, PolicyText, WeightsCheck

if TYPE_CHECKING:
    from analytics.warehouse import Warehouse

TABLES = ("records.reading", "records.recheck")
"""What a fit and a screening read of the kept tables."""


def check_weights(store: Path) -> WeightsCheck:
    """Fit and screen the readings of a store twice, in memory.

    The store must hold verdicts; it is opened to be read, and must not be open otherwise in this
    process. A fit that does not settle is told in `trouble`.
    """
    policy = _policy(store)
    with open_store() as memory:
        _copy(memory, store)
        try:
            without, weighted = (
                _fitted(memory, policy, is_weighted) for is_weighted in (False, True)
            )
        except NotConvergedError as error:
            return WeightsCheck(policy.version, trouble=error.message)
        clamped = gather(memory, "clamped", Clamped)
    return WeightsCheck(policy.version, without, weighted, clamped=clamped)


def _policy(store: Path) -> Policy:
    """Return the policy that the store's verdicts rest on, else the one that comes along."""
    with open_store(store, read_only=True) as warehouse:
        found = gather(warehouse, "policy", PolicyText)
    if not found:
        return default_policy()
    return restore(found[0].policy_text, found[0].policy_version)


def _copy(memory: Warehouse, store: Path) -> None:
    name = str(store).replace("'", "''")
    memory.execute(f"attach '{name}' as fleet (read_only)")
    with memory.transaction():
        for table in TABLES:
            memory.execute(f"insert into {table} by name select * from fleet.{table}")
    memory.execute("detach fleet")


def _fitted(memory: Warehouse, policy: Policy, is_weighted: bool) -> Fit:
    summary = fit(memory, BaselineSettings(is_weighted=is_weighted))
    screen(memory, policy)
    return Fit(
        groups=gather(memory, "group", Group),
        flagged=gather(memory, "flagged", Flagged),
        exponent=summary.exponent,
        passes=summary.passes,
    )
