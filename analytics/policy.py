"""The firm's thresholds: a dated, versioned TOML file, read and checked."""

from __future__ import annotations

import hashlib
import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from importlib.resources import files
from pathlib import Path

from analytics.errors import UsageError


@dataclass(frozen=True)
class Policy:
    """Where the lines are drawn; shares and ratios [1], lifts [K]."""

    version: str
    flag_probability: float
    flag_loaded_probability: float
    flag_heat_ratio: float
    flag_lift_k: float
    flag_load_share: float
    flag_terminal_peak_k: float
    load_continuous_share: float
    load_any_share: float
    load_gate_share: float
    worth_smallest_ratio: float
    worth_idle_share: float
    worth_settled_minutes: float
    worth_cold_spreads: float
    material_lift_k: float

    def as_parameters(self) -> dict[str, float]:
        """Return the thresholds as query parameters."""
        return {key: value for key, value in vars(self).items() if key != "version"}

    @property
    def name(self) -> str:
        """The name of the file it came from, without the digest of its numbers."""
        return self.version.rpartition("-")[0]

    def moved(self, **lines: float) -> Policy:
        """Return it with some lines moved, under the same name and the digest that goes with it."""
        moved = replace(self, **lines)  # type: ignore[arg-type]
        return replace(moved, version=_version(self.name, moved.as_parameters()))


NAMES = tuple(key for key in Policy.__dataclass_fields__ if key != "version")
MOST: dict[str, float] = {
    "flag_probability": 1.0,
    "flag_loaded_probability": 1.0,
    "flag_load_share": 1.0,
    "load_continuous_share": 2.0,
    "load_any_share": 2.0,
    "load_gate_share": 1.0,
    "worth_idle_share": 1.0,
}
"""Largest value that makes sense, in the unit of the key; chosen. The others have none."""
_TABLE = re.compile(r"\s*\[\s*(\w+)\s*\]")
_KEY = re.compile(r"\s*(\w+)\s*=")


def default_policy() -> Policy:
    """Return the policy that comes with the program."""
    return parse(default_text(), "default")


def default_text() -> str:
    """Return the text of the policy that comes with the program, comments and all."""
    return files("analytics").joinpath("policies", "default.toml").read_text(encoding="utf-8")


def read_policy(path: Path) -> Policy:
    """Read a policy file. Raises UsageError with what is wrong in it."""
    return parse(read_text(path), path.stem)


def read_text(path: Path) -> str:
    """Return the text of a policy file. Raises UsageError where it cannot be read."""
    try:
        return path.read_text(encoding="utf-8")
    except OSError as error:
        raise UsageError(f"The policy {path} cannot be read: {error.strerror}.") from error
    except UnicodeDecodeError as error:
        raise UsageError(f"The policy {path} is no UTF-8 text.") from error


def parse(text: str, name: str) -> Policy:
    """Check a policy's text and return it; its version is the name and a digest of the numbers.

    Raises UsageError with every line that is wrong.
    """
    given = _given(text, name)
    faults = sorted(_faults(given, _lines(text)))
    if faults:
        words = "; ".join(f"line {line}: {words}" if line else words for line, words in faults)
        raise UsageError(f"The policy {name} cannot be used: {words}.")
    numbers = {key: float(given[key]) for key in NAMES}  # type: ignore[arg-type]
    return Policy(version=_version(name, numbers), **numbers)


def restore(text: str, version: str) -> Policy:
    """Return a policy kept in the store, under the version it was kept by.

    A line that its program did not know yet stands where it changes nothing: as in the default.
    """
    given = {key: value for key, value in _given(text, version).items() if key in NAMES}
    numbers = {**default_policy().as_parameters(), **given}
    return Policy(version=version, **numbers)  # type: ignore[arg-type]


def as_toml(policy: Policy) -> str:
    """Return the policy as a file that `parse` reads to the same version."""
    tables: dict[str, list[str]] = {}
    for name, value in policy.as_parameters().items():
        table, _, key = name.partition("_")
        tables.setdefault(table, []).append(f"{key} = {value!r}")
    return "\n\n".join("\n".join([f"[{table}]", *keys]) for table, keys in tables.items()) + "\n"


def _version(name: str, numbers: Mapping[str, float]) -> str:
    digest = hashlib.sha256(repr(sorted(numbers.items())).encode()).hexdigest()[:8]
    return f"{name}-{digest}"


def _given(text: str, name: str) -> dict[str, object]:
    """Return what the file says, `table_key` -> value."""
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise UsageError(f"The policy {name} is no TOML: {error}.") from error
    return {
        f"{table}_{key}" if isinstance(keys, dict) else table: value
        for table, keys in tables.items()
        for key, value in (keys.items() if isinstance(keys, dict) else [("", keys)])
    }


def _faults(given: Mapping[str, object], lines: Mapping[str, int]) -> Iterator[tuple[int, str]]:
    """Yield (line, what is wrong); line 0 for what is missing."""
    for key, value in given.items():
        line, shown = lines.get(key, 0), key.replace("_", ".", 1)
        if key not in NAMES:
            yield line, f"{shown} is no line of a policy"
        elif isinstance(value, bool) or not isinstance(value, int | float):
            yield line, f"{shown} is {value!r}, which is no number"
        elif not 0 <= value <= MOST.get(key, float("inf")):
            most = MOST.get(key)
            wanted = f"from 0 to {most:g}" if most else "from 0 up"
            yield line, f"{shown} is {value}, a number {wanted} is wanted"
    for key in NAMES:
        if key not in given:
            yield 0, f"{key.replace('_', '.', 1)} is missing"


def _lines(text: str) -> dict[str, int]:
    """Return the line of each key, `table_key` -> number from 1."""
    table, found = "", {}
    for number, line in enumerate(text.splitlines(), 1):
        if head := _TABLE.match(line):
            table = head[1]
        elif key := _KEY.match(line):
            found[f"{table}_{key[1]}" if table else key[1]] = number
    return found
