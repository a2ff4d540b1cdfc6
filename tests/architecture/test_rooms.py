"""A module imports only from the rooms to its left."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
TOPS = ("analytics", "dashboards", "synthetic_data")
FILES = sorted(p for top in TOPS for p in (ROOT / top).rglob("*.py"))
HOMES = {
    "duckdb": {"analytics/warehouse.py", "analytics/querybook.py"},
    "pint": {"analytics/units.py"},
}


def _imports(path: Path) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module)
    return found


def _place(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


@pytest.mark.parametrize("path", FILES, ids=_place)
def test_imports(path: Path) -> None:
    place, names = _place(path), _imports(path)
    tops = {name.split(".")[0] for name in names}
    for package, homes in HOMES.items():
        assert package not in tops or place in homes
    assert "plotly" not in tops or place.startswith("dashboards/")
    if not place.startswith("analytics/cli/"):
        assert not any(name.startswith("analytics.cli") for name in names)
    if place.startswith("analytics/") and not place.startswith("analytics/cli/"):
        assert not tops & {"dashboards", "synthetic_data"}
    if place.startswith("synthetic_data/"):
        seen = {name for name in names if name.startswith("analytics.")}
        assert seen <= {"analytics.columns", "analytics.units", "analytics.errors"}


@pytest.mark.parametrize("path", FILES, ids=_place)
def test_functions_and_files_are_short(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert len(text.splitlines()) <= 330
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef):
            assert (node.end_lineno or 0) - node.lineno < 60, node.name
