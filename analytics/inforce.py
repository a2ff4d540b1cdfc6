"""The baseline in force: its tables, its version and what it was fitted with."""

from __future__ import annotations

import json
from typing import Any

from analytics.errors import NotEnoughDataError
from analytics.warehouse import Warehouse

BASELINE_TABLES = (
    "group_level",
    "group_parameter",
    "make_level",
    "make_effect",
    "rating_level",
    "rating_effect",
    "camera_level",
    "camera_effect",
    "minute_factor",
    "shelter_level",
    "shelter_factor",
    "cell",
    "mixture",
    "history",
)
"""The small tables that are the baseline: fitted in `fitting`, kept in `baseline`."""


def read_version(warehouse: Warehouse, table: str) -> tuple[str, dict[str, Any]]:
    """Return version and parameters of the latest baseline that `table` lists.

    The parameters carry `fitted_at`, as text. Raises NotEnoughDataError where there is none.
    """
    found = warehouse.fetch(
        f"select baseline_version, parameters, strftime(fitted_at at time zone 'UTC', "
        f"'%Y-%m-%dT%H:%M:%SZ') from {table} order by fitted_at desc limit 1"
    )
    if not found:
        raise NotEnoughDataError("No baseline has been fitted yet.", "Run loadrise fit first.")
    version, parameters, fitted_at = found[0]
    return str(version), {**json.loads(parameters), "fitted_at": fitted_at}
