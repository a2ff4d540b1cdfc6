"""Gathers what the diagnostics page is about from the marts."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar

from dashboards.diagnostics_records import (
    Clamped,
    Counts,
    Coverage,
    DiagnosticsRecord,
    Flagged,
    Group,
    Pass,
    PBin,
    PolicyText,
    Reason,
    Residual,
    Unjudged,
    Used,
    Version,
)

if TYPE_CHECKING:
    from analytics.warehouse import Warehouse

LEAST_COUNT = 30
"""Readings from which a level can stand off [1]; chosen, as many as a class is asked for."""
APART_Z = 3.0
"""Standard errors from which a level stands off [1]: the limit of Shewhart's control charts."""
APART_MIDDLE = 0.2
"""Healthy spreads that a median must be off as well [1]; chosen: a smaller one moves no verdict."""
APART_WIDTH = 0.2
"""By how much a spread must differ from 1 as well [1]; chosen: a 95 % interval then holds 90 %."""

Row = TypeVar("Row")

RECORDS: dict[str, type] = {
    "marts.diagnostics_clamped": Clamped,
    "marts.diagnostics_count": Counts,
    "marts.diagnostics_coverage": Coverage,
    "marts.diagnostics_flagged": Flagged,
    "marts.diagnostics_group": Group,
    "marts.diagnostics_p_value": PBin,
    "marts.diagnostics_pass": Pass,
    "marts.diagnostics_policy": PolicyText,
    "marts.diagnostics_quarantine": Reason,
    "marts.diagnostics_recheck": Reason,
    "marts.diagnostics_residual": Residual,
    "marts.diagnostics_unjudged": Unjudged,
    "marts.diagnostics_used": Used,
    "marts.diagnostics_version": Version,
}
"""Query -> record with its columns in the same order; a test compares the names."""


def gather(warehouse: Warehouse, name: str, kind: type[Row], **params: object) -> tuple[Row, ...]:
    """Return the rows of the mart `diagnostics_<name>` as records."""
    return tuple(kind(*row) for row in warehouse.rows(f"marts.diagnostics_{name}", **params))


def collect(warehouse: Warehouse) -> DiagnosticsRecord:
    """Gather the record; what has not been fitted or screened yet is left empty."""
    record = DiagnosticsRecord(
        quarantined=gather(warehouse, "quarantine", Reason),
        versions=gather(warehouse, "version", Version),
    )
    if warehouse.has_table("baseline.history"):
        record = replace(
            record,
            groups=gather(warehouse, "group", Group),
            passes=gather(warehouse, "pass", Pass),
        )
    return _screened(warehouse, record) if warehouse.has_table("screening.result") else record


def _screened(warehouse: Warehouse, record: DiagnosticsRecord) -> DiagnosticsRecord:
    return replace(
        record,
        counts=gather(warehouse, "count", Counts)[0],
        residuals=gather(
            warehouse,
            "residual",
            Residual,
            least_count=LEAST_COUNT,
            apart_z=APART_Z,
            apart_middle=APART_MIDDLE,
            apart_width=APART_WIDTH,
        ),
        unjudged=gather(warehouse, "unjudged", Unjudged),
        rechecks=gather(warehouse, "recheck", Reason),
        coverage=gather(warehouse, "coverage", Coverage),
        p_values=gather(warehouse, "p_value", PBin),
        used=gather(warehouse, "used", Used),
    )
