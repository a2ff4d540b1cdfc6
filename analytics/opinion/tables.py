"""The small tables on the desk: the baseline in force, the policy, and the readings asked about."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from statistics import NormalDist
from typing import Any

from analytics.desk import FLEET
from analytics.errors import NotEnoughDataError
from analytics.history import policy_in_force
from analytics.inforce import BASELINE_TABLES, read_version
from analytics.opinion.reading import Reading
from analytics.policy import Policy
from analytics.settings import BaselineSettings
from analytics.warehouse import Warehouse

NO_RANKS = (
    "select 0 as group_id, 0 as load_band, 0e0 as z, 0 as at_least_count, 0 as cell_count limit 0"
)
NO_SHARES = (
    "select '' as device_class, false as is_multi_pole, 0 as warm_band, 0e0 as suspect_share "
    "limit 0"
)
NO_SURROUND = (
    "select 0 as group_id, 0e0 as surround_k, 0e0 as surround_variance_k2, 0e0 as across_k, "
    "0e0 as across_variance_k2 limit 0"
)
NO_SCREENED = (
    "select 0 as reading_id, 0 as hotter_count, 0 as comparable_count, 0e0 as p_value, "
    "0e0 as q_value limit 0"
)
FLOOR_SPREADS = 2 * NormalDist().inv_cdf(0.9)
"""Standard deviations between the floors of one panel in ten and of nine in ten [1]."""


@dataclass(frozen=True)
class InForce:
    """What answers: baseline and policy, and what the last screening used."""

    baseline_version: str
    parameters: dict[str, Any]
    policy: Policy
    screened: tuple[str, str] | None
    """Baseline and policy version of the last screening."""
    floor_range: tuple[float | None, float | None] = (None, None)
    """How warm the cool end of its panels was, low and high [K]."""
    is_surround_known: bool = False
    """Whether it kept what usually sits around a device; an older program did not."""

    @property
    def floor_variance_k2(self) -> float:
        """Return the variance of the floors from panel to panel [K²], as if normal."""
        low, high = self.floor_range
        if low is None or high is None:
            return 0.0
        return float(((high - low) / FLOOR_SPREADS) ** 2)

    @property
    def is_ranked(self) -> bool:
        """Tell whether the last screening used the baseline in force."""
        return self.screened is not None and self.screened[0] == self.baseline_version

    @property
    def is_noticed(self) -> bool:
        """Tell whether it used the policy in force too."""
        return self.screened == (self.baseline_version, self.policy.version)

    @property
    def reading_counts(self) -> dict[tuple[str, bool], int]:
        """Readings that taught the face of each (class, several poles)."""
        faces = [one for one in self.parameters["classes"] if one["channel"] == "face"]
        return {(c["device_class"], c["is_multi_pole"]): c["reading_count"] for c in faces}


def take_up(desk: Warehouse, today: dt.date | None = None) -> InForce:
    """Bring baseline, policy and ranks in force `today` to the work tables of the desk.

    Raises NotEnoughDataError where no baseline has been fitted.
    """
    version, parameters = read_version(desk, f"{FLEET}.records.baseline_version")
    for table in BASELINE_TABLES:
        desk.execute(f"create or replace view fitting.{table} as from {FLEET}.baseline.{table}")
    policy = _policy(desk, today or dt.date.today())
    screened, floor_range = _screened(desk)
    is_surround_known = _is_kept(desk, "surround")
    found = InForce(version, parameters, policy, screened, floor_range, is_surround_known)
    _take_ranks(desk, found)
    return found


def _policy(desk: Warehouse, today: dt.date) -> Policy:
    desk.execute(f"use {FLEET}")
    try:
        return policy_in_force(desk, today)
    finally:
        desk.execute("use memory")


def _screened(
    desk: Warehouse,
) -> tuple[tuple[str, str] | None, tuple[float | None, float | None]]:
    """Return baseline and policy of the last screening, and its floors; None before the first."""
    if not _is_kept(desk, "basis"):
        return None, (None, None)
    baseline, policy, low, high = desk.fetch(
        "select baseline_version, policy_version, floor_low_k, floor_high_k "
        f"from {FLEET}.screening.basis"
    )[0]
    return (baseline, policy), (low, high)


def _is_kept(desk: Warehouse, table: str) -> bool:
    """Tell whether the last screening kept this table."""
    found = desk.fetch(
        "select 1 from duckdb_tables() where database_name = $fleet and schema_name = 'screening' "
        "and table_name = $table",
        {"fleet": FLEET, "table": table},
    )
    return bool(found)


def _knows_own_lines(desk: Warehouse) -> bool:
    """Tell whether the last screening kept its notices by the lines that classes have of their own.

    One by an older program did not.
    """
    found = desk.fetch(
        "select 1 from duckdb_columns() where database_name = $fleet and schema_name = 'screening' "
        "and table_name = 'notice' and column_name = 'own_place'",
        {"fleet": FLEET},
    )
    return bool(found)


def _take_ranks(desk: Warehouse, in_force: InForce) -> None:
    kept = f"from {FLEET}.screening"
    ranks = f"{kept}.rank_point" if in_force.screened else NO_RANKS
    shares = f"{kept}.warm_share" if in_force.screened else NO_SHARES
    desk.execute(f"create or replace view screening.rank_point as {ranks}")
    desk.execute(f"create or replace view judging.warm_share as {shares}")
    around = f"{kept}.surround" if in_force.is_surround_known else NO_SURROUND
    desk.execute(f"create or replace view screening.surround as {around}")
    if in_force.is_noticed and _knows_own_lines(desk):
        desk.execute(f"create or replace view judging.notice as {kept}.notice")
    else:
        from analytics.screening import put_notice  # brings numpy in

        desk.copy("fitting.mixture", "baseline.mixture")
        put_notice(desk, in_force.policy)


def put_typed(desk: Warehouse, readings: Sequence[Reading], in_force: InForce) -> None:
    """Lay typed readings out as the stage `normalise` would; their ids count from 1."""
    rows = [{"reading_id": i, **asdict(one)} for i, one in enumerate(readings, 1)]
    desk.build("opinion.typed", readings=json.dumps(rows))
    desk.execute(
        "create or replace view opinion.wanted as "
        "select reading_id, floor_degc is null as is_floor_open from opinion.typed"
    )
    desk.execute("create or replace view records.reading as from opinion.typed")
    desk.execute(f"create or replace view records.recheck as from {FLEET}.records.recheck limit 0")
    for name in ("visit", "mark", "reading"):
        desk.build(f"normalise.{name}")
    desk.build("opinion.cool_pool", floor_k_default=in_force.parameters["floor_k_default"])
    desk.build("opinion.slot")
    for name in ("cool_pool", "slot"):
        desk.execute(f"create or replace view normalise.{name} as from opinion.{name}")
    desk.build("normalise.measure", neighbour_cap_k=BaselineSettings().neighbour_cap_k)
    desk.execute(f"create or replace view opinion.screened as {NO_SCREENED}")
    _probe(desk)


def put_stored(desk: Warehouse, inspection_id: str, panel_id: str, position: int) -> None:
    """Lay one visit of the store out; the device in `position` is the one asked about.

    Raises NotEnoughDataError where the store holds no such reading.
    """
    key = {"inspection": inspection_id, "panel": panel_id}
    desk.execute(
        f"create or replace table records.reading as from {FLEET}.records.reading "
        "where inspection_id = $inspection and panel_id = $panel and is_current",
        key,
    )
    desk.execute(
        f"create or replace table records.recheck as from {FLEET}.records.recheck "
        "where reading_id in (select reading_id from records.reading)"
    )
    desk.execute(
        "create or replace table opinion.wanted as "
        "select max(reading_id) as reading_id, false as is_floor_open from records.reading "
        "where position = $position having count(*) > 0",
        {"position": position},
    )
    if not desk.fetch("from opinion.wanted"):
        raise NotEnoughDataError(
            f"The store has no reading of inspection {inspection_id}, panel {panel_id}, position "
            f"{position}.",
            "Look them up with loadrise sql, or type the reading.",
        )
    from analytics.baseline import prepare_measures  # brings numpy in

    prepare_measures(desk, BaselineSettings())
    _probe(desk)


def take_screened(desk: Warehouse, in_force: InForce) -> None:
    """Take the ranks that the last screening gave the readings on the desk, if it holds."""
    source = (
        f"select reading_id, hotter_count, comparable_count, p_value, q_value "
        f"from {FLEET}.screening.result "
        "where reading_id in (select reading_id from records.reading)"
        if in_force.is_ranked
        else NO_SCREENED
    )
    desk.execute(f"create or replace table opinion.screened as {source}")


def _probe(desk: Warehouse) -> None:
    """Add the terminations that were not read."""
    desk.append("opinion.probe", "normalise.measure")
