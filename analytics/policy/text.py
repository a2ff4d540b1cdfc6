"""The text of a policy taken apart: what it says by path of names, and on which line; unchecked."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping

from analytics.errors import UsageError

Path = tuple[str, ...]
"""Where a value stands: `("flag", "afci", "lift_k")` for `lift_k` under `[flag.afci]`."""
_TABLE = re.compile(r"\s*\[\[?([^\[\]#]+)\]")
_KEY = re.compile(r"\s*([\w\-.\"' \t]+?)\s*=")


def told(text: str, name: str) -> dict[Path, object]:
    """Return what the file says, value by path; a table that says nothing as `{}`.

    Raises UsageError where it is no TOML.
    """
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise UsageError(f"The policy {name} is no TOML: {error}.") from error
    except ValueError as error:
        raise UsageError(f"The policy {name} holds a number of too many digits.") from error
    except RecursionError as error:
        raise UsageError(f"The policy {name} is nested too deeply.") from error
    return dict(_values(tables, ()))


def lines(text: str) -> dict[Path, int]:
    """Return the line of each table and key, counted from 1."""
    table: Path = ()
    found: dict[Path, int] = {}
    for number, line in enumerate(text.splitlines(), 1):
        if head := _TABLE.match(line):
            table = _names(head[1])
            found.setdefault(table, number)
        elif key := _KEY.match(line):
            found[*table, *_names(key[1])] = number
    return found


def line_of(path: Path, known: Mapping[Path, int]) -> int:
    """Return the line of a path, or of what it stands in; 0 where neither is known."""
    parts = (path[:size] for size in range(len(path), 0, -1))
    return next((known[part] for part in parts if part in known), 0)


def _values(table: Mapping[str, object], above: Path) -> Iterator[tuple[Path, object]]:
    for key, value in table.items():
        if isinstance(value, dict) and value:
            yield from _values(value, (*above, key))
        else:
            yield (*above, key), value


def _names(dotted: str) -> Path:
    return tuple(one.strip(" \t\"'") for one in dotted.split("."))
