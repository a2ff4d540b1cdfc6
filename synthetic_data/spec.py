"""A scenario: everything an invented fleet is made from, read from TOML into frozen records."""

from __future__ import annotations

import re
import tomllib
from dataclasses import MISSING, Field, dataclass, field, fields, is_dataclass, replace
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any, cast, get_args, get_type_hints

QUARTER = re.compile(r"\d{4}Q[1-4]")
MOST_SLOTS = 40
"""Slots of the largest panel; chosen: 42 was the limit for long (NEC before 2008, from memory)."""


class ScenarioError(ValueError):
    """A scenario cannot be read; the message names the file, the table and the key."""


@dataclass(frozen=True)
class Office:
    """One office: its share of the visits [1], the style of its sheets, its inspectors."""

    id: str
    share: float
    style: str
    inspectors: int = 4
    has_emissivity: bool = False
    """Reads apparent temperatures and notes emissivity and reflected temperature beside them."""


@dataclass(frozen=True)
class Make:
    """One invented make: share of panels [1], resistance and own draw as multiples of usual [1]."""

    name: str
    share: float
    heat: float = 1.0
    draw: float = 1.0
    from_quarter: str = ""
    """First quarter in which panels of this make are met; empty: from the start."""


@dataclass(frozen=True)
class CameraShift:
    """A camera that reads `shift_k` [K] too warm from `quarter` to `until`, both included."""

    camera: str
    quarter: str
    shift_k: float
    until: str = ""


@dataclass(frozen=True)
class FaultRise:
    """The fault rate is multiplied by `factor` [1] from this quarter on."""

    from_quarter: str
    factor: float


@dataclass(frozen=True)
class Hasty:
    """An inspector who waits few minutes, guesses the ambient and clamps little."""

    inspector: str
    from_quarter: str = ""


@dataclass(frozen=True)
class Planted:
    """The changes that were put in on purpose."""

    camera_shifts: tuple[CameraShift, ...] = ()
    fault_rises: tuple[FaultRise, ...] = ()
    hasty: tuple[Hasty, ...] = ()


@dataclass(frozen=True)
class Faults:
    """How many devices carry a fault [1] and how bad it is; chosen, see `faults`."""

    share: float = 0.015
    connection_share: float = 0.7
    contact_mohm: float = 16.0
    """Median extra contact resistance at a 15 A terminal [mOhm]."""
    contact_log_sd: float = 1.0
    body_multiple: float = 2.2
    """Median extra resistance of a faulty device, in healthy resistances [1]."""
    body_log_sd: float = 0.8


@dataclass(frozen=True)
class Clerical:
    """Share of rows with a clerical error [1] and how many files are handed in twice."""

    share: float = 0.015
    files_twice: int = 2


@dataclass(frozen=True)
class Loads:
    """The loads of one-pole circuits, as shares of them [1]; the rest carries 10–60 % of rating."""

    idle_share: float = 0.5
    heavy_share: float = 0.05
    overload_share: float = 0.015
    main_limit: float = 0.95
    """The most that a main carries, of its rating [1]."""


@dataclass(frozen=True)
class Scenario:
    """Everything that `simulate` needs besides the seed."""

    name: str
    quarters: tuple[str, ...]
    inspections: int
    offices: tuple[Office, ...]
    makes: tuple[Make, ...]
    slots: tuple[int, ...] = (10, 12, 16, 20, 24, 30, 40)
    slot_weights: tuple[float, ...] = (0.02, 0.04, 0.07, 0.13, 0.19, 0.3, 0.25)
    revisit_share: float = 0.1
    second_panel_share: float = 0.05
    camera_sd_k: float = 0.6
    """Spread of the cameras' own offsets [K]; chosen: a third of the usual ±2 °C."""
    faults: Faults = field(default_factory=Faults)
    clerical: Clerical = field(default_factory=Clerical)
    loads: Loads = field(default_factory=Loads)
    planted: Planted = field(default_factory=Planted)

    def quarter_index(self, quarter: str, default: int) -> int:
        """Return where a quarter stands in the scenario, or `default` for an empty name."""
        return self.quarters.index(quarter) if quarter else default


def _value(kind: Any, given: Any, where: str) -> Any:
    if is_dataclass(kind):
        return _record(cast("type", kind), given, where)
    parts = get_args(kind)
    if not parts:
        return float(given) if kind is float else given
    if not isinstance(given, list):
        raise ScenarioError(f"{where} must be a list.")
    return tuple(_value(parts[0], item, f"{where}[{i}]") for i, item in enumerate(given))


def _is_required(item: Field[Any]) -> bool:
    return item.default is MISSING and item.default_factory is MISSING


def _record(kind: type, table: Any, where: str) -> Any:
    if not isinstance(table, dict):
        raise ScenarioError(f"{where} must be a table.")
    hints = get_type_hints(kind)
    unknown = sorted(set(table) - set(hints))
    missing = [f.name for f in fields(kind) if _is_required(f) and f.name not in table]
    if unknown or missing:
        raise ScenarioError(f"{where}: unknown keys {unknown}, missing keys {missing}.")
    return kind(**{k: _value(hints[k], v, f"{where}.{k}") for k, v in table.items()})


def _named_quarters(scenario: Scenario) -> list[str]:
    planted = scenario.planted
    named = [m.from_quarter for m in scenario.makes]
    named += [q for s in planted.camera_shifts for q in (s.quarter, s.until)]
    named += [r.from_quarter for r in planted.fault_rises]
    return [q for q in named + [h.from_quarter for h in planted.hasty] if q]


def _check(scenario: Scenario, where: str) -> Scenario:
    if not scenario.quarters or any(not QUARTER.fullmatch(q) for q in scenario.quarters):
        raise ScenarioError(f"{where}: quarters must look like 2024Q1.")
    strange = sorted(set(_named_quarters(scenario)) - set(scenario.quarters))
    if strange:
        raise ScenarioError(f"{where}: {strange} are not among the quarters.")
    if scenario.inspections < 1 or not scenario.offices or not scenario.makes:
        raise ScenarioError(f"{where}: an inspection, an office and a make are the least.")
    if all(m.from_quarter not in ("", scenario.quarters[0]) for m in scenario.makes):
        raise ScenarioError(f"{where}: no make is there from the first quarter on.")
    if len(scenario.slots) != len(scenario.slot_weights) or max(scenario.slots) > MOST_SLOTS:
        raise ScenarioError(f"{where}: slots need one weight each and at most {MOST_SLOTS} slots.")
    return scenario


def load(scenario: str | Path, inspections: int | None = None) -> Scenario:
    """Read a scenario: the name of one that comes along (“demo”) or the path of a TOML file.

    Raises ScenarioError when it is not found, not TOML, or holds unknown or missing keys.
    """
    name = str(scenario)
    path = Path(name) if name.endswith(".toml") else None
    source = path or files("synthetic_data").joinpath("scenarios", f"{name}.toml")
    if not source.is_file():
        raise ScenarioError(f"There is no scenario “{name}”; known: {', '.join(known())}.")
    try:
        table = tomllib.loads(source.read_text(encoding="utf-8"))
    except tomllib.TOMLDecodeError as error:
        raise ScenarioError(f"{name} is not TOML: {error}.") from error
    loaded = _check(_record(Scenario, table, name), name)
    return loaded if inspections is None else replace(loaded, inspections=inspections)


@cache
def known() -> tuple[str, ...]:
    """Return the names of the scenarios that come along."""
    folder = files("synthetic_data").joinpath("scenarios")
    return tuple(sorted(f.name[:-5] for f in folder.iterdir() if f.name.endswith(".toml")))
