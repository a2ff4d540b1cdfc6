"""Who may import whom: rooms stand in a row, and a module imports only from the left."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.architecture.sources import ROOMS, imports, module_name, python_files

ROW: tuple[tuple[str, ...], ...] = (
    ("analytics.errors", "analytics.notices", "analytics.plain"),
    ("analytics.columns", "analytics.units", "analytics.settings", "analytics.drafts"),
    ("analytics.policy",),
    ("analytics.statistics",),
    ("analytics.querybook",),
    ("analytics.upkeep",),
    ("analytics.warehouse",),
    ("analytics.desk", "analytics.inforce", "analytics.judging"),
    ("analytics.history",),
    ("analytics.ingest", "analytics.baseline", "analytics.question", "analytics.export"),
    ("analytics.screening", "analytics.backup"),
    ("analytics.opinion", "analytics.tuning", "analytics.trends"),
    ("dashboards",),
    ("analytics.reference",),
    ("analytics.cli",),
)
"""Rooms from left to right; `analytics` itself and `queries` hold no code and are free to all."""
FREE = ("analytics", "queries")
DOORS = {
    ("analytics.screening", "analytics.baseline"),
    ("analytics.opinion", "analytics.baseline"),
    ("analytics.opinion", "analytics.screening"),
    ("analytics.tuning", "analytics.baseline"),
    ("analytics.tuning", "analytics.screening"),
}
"""Screening takes up the baseline in force; a second opinion runs the screening's own queries
on its own tables, tuning judges by another policy and keeps nothing. No others."""
STAGES = {room for rooms in ROW[9:12] for room in rooms}
ALONE = {
    "duckdb": ("analytics.warehouse", "analytics.querybook"),
    "pint": ("analytics.units",),
    "plotly": ("dashboards",),
    "jinja2": ("dashboards",),
    "click": ("analytics.cli", "analytics.reference"),
}
"""Package -> the only rooms that know it."""
FILES = python_files(*ROOMS)


def _room(name: str) -> str | None:
    """Return the room that a dotted name lies in; None for what is free or foreign."""
    if name.split(".")[0] == "synthetic_data":
        return "synthetic_data"
    found = [r for rooms in ROW for r in rooms if name == r or name.startswith(f"{r}.")]
    return found[0] if found else None


def _rank(room: str) -> int:
    return next(i for i, rooms in enumerate(ROW) if room in rooms)


def _crossings(path: Path) -> Iterator[str]:
    here = _room(module_name(path))
    for name in imports(path):
        there = _room(name)
        if there is None or here is None or there == here:
            continue
        if here == "synthetic_data":
            is_allowed = there in ("analytics.columns", "analytics.units")
        elif there == "synthetic_data":
            is_allowed = here == "analytics.cli"
        elif {here, there} <= STAGES:
            is_allowed = (here, there) in DOORS
        else:
            is_allowed = _rank(there) < _rank(here)
        if not is_allowed:
            yield f"{path} imports {name}"


@pytest.mark.parametrize("path", FILES, ids=str)
def test_every_module_has_a_room(path: Path) -> None:
    name = module_name(path)
    assert _room(name) or name in FREE, f"{name} stands in no room; give it a place in ROW"


@pytest.mark.parametrize("path", FILES, ids=str)
def test_imports_only_from_the_left(path: Path) -> None:
    assert list(_crossings(path)) == []


@pytest.mark.parametrize("path", FILES, ids=str)
def test_packages_stay_in_their_rooms(path: Path) -> None:
    here = module_name(path)
    for name in imports(path):
        rooms = ALONE.get(name.split(".")[0])
        assert rooms is None or here.startswith(rooms), f"{path} imports {name}"


def test_the_checks_see_a_wrong_import() -> None:
    wrong = Path("analytics/columns.py")
    assert _room("analytics.cli.main") == "analytics.cli"
    assert _rank("analytics.cli") > _rank("dashboards") > _rank("analytics.warehouse")
    assert "__future__.annotations" in list(imports(wrong))
