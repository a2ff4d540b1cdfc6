"""Short files, short functions, a docstring on everything public."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from tests.architecture.sources import ROOMS, ROOT, python_files, tree

LONGEST_FILE = 300
LONGEST_FUNCTION = 40
FILES = python_files(*ROOMS)
Functions = (ast.FunctionDef, ast.AsyncFunctionDef)


def _documented(path: Path) -> list[str]:
    """Return the public names without a docstring."""
    nodes: list[ast.AST] = [tree(path)]
    bare = [] if ast.get_docstring(tree(path)) else ["the module"]
    while nodes:
        for node in getattr(nodes.pop(), "body", []):
            if isinstance(node, (*Functions, ast.ClassDef)) and not node.name.startswith("_"):
                if not ast.get_docstring(node) and not _is_bodiless(node):
                    bare.append(f"{node.name}, line {node.lineno}")
                if isinstance(node, ast.ClassDef):
                    nodes.append(node)
    return bare


def _is_bodiless(node: ast.AST) -> bool:
    """Tell whether it is the signature of a protocol, `...` and nothing more."""
    return isinstance(node, Functions) and ast.unparse(node.body[0]) == "..."


@pytest.mark.parametrize("path", [*FILES, *python_files("tests")], ids=str)
def test_file_is_short(path: Path) -> None:
    assert len((ROOT / path).read_text(encoding="utf-8").splitlines()) <= LONGEST_FILE


@pytest.mark.parametrize("path", [*FILES, *python_files("tests")], ids=str)
def test_functions_are_short(path: Path) -> None:
    functions = [node for node in ast.walk(tree(path)) if isinstance(node, Functions)]
    lengths = {f"{f.name}, line {f.lineno}": _length(f) for f in functions}
    assert {name: n for name, n in lengths.items() if n > LONGEST_FUNCTION} == {}


def _length(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Return the lines of a function without its docstring."""
    first = function.body[0]
    is_documented = ast.get_docstring(function, clean=False) is not None
    told = (first.end_lineno or 0) - first.lineno + 1 if is_documented else 0
    return (function.end_lineno or function.lineno) - function.lineno + 1 - told


@pytest.mark.parametrize("path", FILES, ids=str)
def test_public_names_are_documented(path: Path) -> None:
    assert _documented(path) == []
