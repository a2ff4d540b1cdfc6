"""The firm's thresholds: a dated, versioned TOML file, read and checked."""

from __future__ import annotations

import hashlib
import tomllib
from dataclasses import dataclass
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


def default_policy() -> Policy:
    """Return the policy that comes with the program."""
    text = files("analytics").joinpath("policies", "default.toml").read_text(encoding="utf-8")
    return parse(text, "default")


def read_policy(path: Path) -> Policy:
    """Read a policy file. Raises UsageError with what is wrong in it."""
    try:
        return parse(path.read_text(encoding="utf-8"), path.stem)
    except OSError as error:
        raise UsageError(f"The policy {path} cannot be read: {error.strerror}.") from error


def parse(text: str, name: str) -> Policy:
    """Check a policy's text and return it; its version is the name and a digest of the numbers."""
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise UsageError(f"The policy {name} is no TOML: {error}.") from error
    given = {
        f"{table}_{key}": value for table, keys in tables.items() for key, value in keys.items()
    }
    known = [key for key in Policy.__dataclass_fields__ if key != "version"]
    unknown, missing = sorted(set(given) - set(known)), sorted(set(known) - set(given))
    if unknown or missing:
        raise UsageError(f"The policy {name} has unknown keys {unknown} and lacks {missing}.")
    numbers = {key: _number(name, key, given[key]) for key in known}
    digest = hashlib.sha256(repr(sorted(numbers.items())).encode()).hexdigest()[:8]
    return Policy(version=f"{name}-{digest}", **numbers)


def _number(name: str, key: str, value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or value < 0:
        raise UsageError(f"The policy {name} needs a number from 0 up for {key}, not {value!r}.")
    return float(value)
