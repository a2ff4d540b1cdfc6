"""The tree as the architecture tests see it: its Python files, their imports and functions."""

from __future__ import annotations

import ast
import subprocess
from collections.abc import Iterator
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[2]
ROOMS = ("analytics", "dashboards", "queries", "synthetic_data")


def python_files(*rooms: str) -> list[Path]:
    """Return the Python files below the rooms, relative to the root."""
    found = (p for room in rooms for p in (ROOT / room).rglob("*.py"))
    return sorted(p.relative_to(ROOT) for p in found)


def kept_files() -> list[Path]:
    """Return what git keeps or would keep: tracked, and new files that nothing ignores."""
    run = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    text = subprocess.run(run, cwd=ROOT, capture_output=True, check=True, text=True).stdout
    paths = (Path(name) for name in text.split("\0") if name)
    return sorted(path for path in set(paths) if (ROOT / path).is_file())


@cache
def tree(path: Path) -> ast.Module:
    """Return the syntax tree of a file."""
    return ast.parse((ROOT / path).read_text(encoding="utf-8"), str(path))


def module_name(path: Path) -> str:
    """Return the dotted name of a file."""
    return ".".join(path.with_suffix("").parts).removesuffix(".__init__")


def imports(path: Path) -> Iterator[str]:
    """Yield the dotted name of each thing imported, inside functions too."""
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}:{node.lineno} imports relatively"
            yield from (f"{node.module}.{alias.name}" for alias in node.names)
