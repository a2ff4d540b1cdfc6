"""The firm's thresholds: a dated, versioned TOML file, read and checked."""

from __future__ import annotations

import hashlib
import math
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
    flag_termination_rise_k: float
    flag_face_rise_k: float
    flag_wire_degc: float
    flag_like_lift_k: float
    load_continuous_share: float
    load_any_share: float
    load_gate_share: float
    worth_smallest_ratio: float
    worth_idle_share: float
    worth_settled_minutes: float
    worth_cold_spreads: float
    material_lift_k: float
    calibration_intercept: float = 0.0
    calibration_slope: float = 1.0

    def numbers(self) -> dict[str, float]:
        """Return every number of it."""
        return {key: value for key, value in vars(self).items() if key != "version"}

    def as_parameters(self) -> dict[str, float]:
        """Return the thresholds as parameters of the verdict."""
        return {key: value for key, value in self.numbers().items() if key not in UNCALIBRATED}

    def calibration(self) -> dict[str, float]:
        """Return intercept and slope of the recalibration, as parameters [logit, 1]."""
        return {key: value for key, value in self.numbers().items() if key in UNCALIBRATED}

    def recalibrated(self, chance: float) -> float:
        """Return a chance [1] as findings made it, as the macro `recalibrated` does."""
        if self.calibration() == UNCALIBRATED or not 0.0 < chance < 1.0:
            return chance
        logit = math.log(chance / (1.0 - chance))
        return 1.0 / (1.0 + math.exp(-self.calibration_intercept - self.calibration_slope * logit))

    def stated(self, chance: float) -> float:
        """Return the chance [1], as the fleet teaches it, that the recalibration turns to `chance`.

        The inverse of the macro `recalibrated`; itself where nothing is recalibrated.
        """
        if self.calibration() == UNCALIBRATED or not 0.0 < chance < 1.0:
            return chance
        logit = math.log(chance / (1.0 - chance))
        return 1.0 / (1.0 + math.exp((self.calibration_intercept - logit) / self.calibration_slope))

    @property
    def knows_standards(self) -> bool:
        """Whether it holds the lines of `STANDARDS`; a policy kept before they were does not."""
        return any(self.numbers()[key] != NEVER for key in STANDARDS)

    @property
    def name(self) -> str:
        """The name of the file it came from, without the digest of its numbers."""
        return self.version.rpartition("-")[0]

    def moved(self, **lines: float) -> Policy:
        """Return it with some lines moved, under the same name and the digest that goes with it."""
        moved = replace(self, **lines)  # type: ignore[arg-type]
        return replace(moved, version=_version(self.name, moved.numbers()))


UNCALIBRATED = {"calibration_intercept": 0.0, "calibration_slope": 1.0}
"""Lines that a policy may leave out, with what stands then: chances as the fleet teaches them."""
NEVER = 1000.0
"""A rise [K] or temperature [°C] that no reading reaches: such a line flags nothing."""
STANDARDS = ("flag_termination_rise_k", "flag_face_rise_k", "flag_wire_degc", "flag_like_lift_k")
"""Lines that no baseline moves; a policy that leaves them out is given those of the default."""
NEUTRAL = {**UNCALIBRATED, **dict.fromkeys(STANDARDS, NEVER)}
"""Where a line changes nothing."""
NAMES = tuple(key for key in Policy.__dataclass_fields__ if key != "version")
MOST: dict[str, float] = {
    "flag_probability": 1.0,
    "flag_loaded_probability": 1.0,
    "flag_load_share": 1.0,
    "load_continuous_share": 2.0,
    "load_any_share": 2.0,
    "load_gate_share": 1.0,
    "worth_idle_share": 1.0,
    "calibration_intercept": 10.0,
    "calibration_slope": 10.0,
    **dict.fromkeys(STANDARDS, NEVER),
}
"""Largest value that makes sense, in the unit of the key; chosen. The others' is `LARGEST`."""
LARGEST = 1e6
"""Largest value of any line; chosen: as good as never, and a number everywhere, phones too."""
LEAST: dict[str, float] = {
    "calibration_intercept": -10.0,
    "calibration_slope": 0.1,
    "flag_termination_rise_k": 30.0,
    "flag_face_rise_k": 30.0,
    "flag_wire_degc": 60.0,
    "flag_like_lift_k": 10.0,
}
"""Least value that makes sense; chosen: a breaker's usual rise at full load, the lowest insulation
rating, the least that no neighbour explains. The others' is 0."""
LONGEST_BITS = 64
"""Whole numbers of more bits are not shown [1]; TOML 1.0 asks for so many."""
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
    told = {**_left_out(), **given}
    numbers = {key: float(told[key]) for key in NAMES}  # type: ignore[arg-type]
    return Policy(version=_version(name, numbers), **numbers)


def restore(text: str, version: str) -> Policy:
    """Return a policy kept in the store, under the version it was kept by.

    A line that its program did not know yet stands where it changes nothing.
    """
    given = {key: value for key, value in _given(text, version).items() if key in NAMES}
    numbers = {**default_policy().numbers(), **dict.fromkeys(STANDARDS, NEVER), **given}
    return Policy(version=version, **numbers)  # type: ignore[arg-type]


def with_standards(policy: Policy) -> Policy:
    """Return a policy that was kept before `STANDARDS` were, with those of the default.

    Its version says so; one that holds them is returned as it is.
    """
    if policy.knows_standards:
        return policy
    usual = default_policy().numbers()
    return policy.moved(**{key: usual[key] for key in STANDARDS})


def as_toml(policy: Policy) -> str:
    """Return the policy as a file that `parse` reads to the same version."""
    tables: dict[str, list[str]] = {}
    for name, value in policy.numbers().items():
        table, _, key = name.partition("_")
        tables.setdefault(table, []).append(f"{key} = {value!r}")
    return "\n\n".join("\n".join([f"[{table}]", *keys]) for table, keys in tables.items()) + "\n"


def _version(name: str, numbers: Mapping[str, float]) -> str:
    told = [(key, value) for key, value in sorted(numbers.items()) if NEUTRAL.get(key) != value]
    digest = hashlib.sha256(repr(told).encode()).hexdigest()[:8]
    return f"{name}-{digest}"


def _left_out() -> dict[str, object]:
    """Return what stands for lines that a policy may leave out."""
    usual = _given(default_text(), "default")
    return {**UNCALIBRATED, **{key: usual[key] for key in STANDARDS}}


def _given(text: str, name: str) -> dict[str, object]:
    """Return what the file says, `table_key` -> value."""
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise UsageError(f"The policy {name} is no TOML: {error}.") from error
    except ValueError as error:
        raise UsageError(f"The policy {name} holds a number of too many digits.") from error
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
        elif not LEAST.get(key, 0) <= value <= MOST.get(key, LARGEST):
            wanted = f"from {LEAST.get(key, 0):g} to {MOST.get(key, LARGEST):g}"
            yield line, f"{shown} is {_short(value)}, a number {wanted} is wanted"
    for key in NAMES:
        if key not in given and key not in NEUTRAL:
            yield 0, f"{key.replace('_', '.', 1)} is missing"


def _short(value: float) -> str:
    """Return a number as it was given, or that it is too long to be shown."""
    is_long = isinstance(value, int) and value.bit_length() > LONGEST_BITS
    return "a number of too many digits" if is_long else str(value)


def _lines(text: str) -> dict[str, int]:
    """Return the line of each key, `table_key` -> number from 1."""
    table, found = "", {}
    for number, line in enumerate(text.splitlines(), 1):
        if head := _TABLE.match(line):
            table = head[1]
        elif key := _KEY.match(line):
            found[f"{table}_{key[1]}" if table else key[1]] = number
    return found
