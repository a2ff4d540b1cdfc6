"""Which header is which column: map first, canonical names next, guesses only when asked for."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from analytics.errors import InputError
from analytics.ingest import names
from analytics.ingest.columnmap import ColumnMap, header_key
from analytics.ingest.report import Match
from analytics.notices import Notice

_DIGITS = frozenset(
    (*names.TEMPERATURES, "rated_a", "current_a", "inspected_at", "found_at", "load_minutes")
)
_LETTERS = frozenset(("device_class", "finding", "panel_location", "conductor_material", "note"))
_CELL_UNIT = re.compile(r"\d\s*(?:°|º|˚|deg(?:rees?)?\.?)?\s*(f|c|fahrenheit|celsius)\.?\s*$", re.I)
_UNIT_CELL = re.compile(
    r"^[(\[]?\s*(?:°|º|˚|deg\.?)?\s*(f|c|fahrenheit|celsius)\.?\s*[)\]]?$", re.I
)


@dataclass(frozen=True)
class ColumnPlan:
    """Where each canonical column comes from; `unit` is by temperature column, '' if not told."""

    kind: str
    sources: Mapping[str, tuple[int, ...]]
    constants: Mapping[str, str]
    unit: Mapping[str, str]
    matches: tuple[Match, ...]
    pending: tuple[Match, ...]
    ignored: tuple[str, ...]
    notices: tuple[Notice, ...] = ()

    @property
    def missing(self) -> tuple[str, ...]:
        """Required columns without a source."""
        have = {*self.sources, *self.constants}
        return tuple(name for name in names.REQUIRED[self.kind] if name not in have)

    @property
    def unlike(self) -> tuple[str, ...]:
        """Required columns that no header even resembles."""
        guessed = {m.column for m in self.pending}
        return tuple(name for name in self.missing if name not in guessed)


@dataclass(frozen=True)
class Header:
    """A sheet's header row, the units under it and groups above it if any, the first data rows."""

    cells: tuple[str, ...]
    units: tuple[str, ...]
    sample: Sequence[Sequence[str]]
    groups: tuple[str, ...] = ()

    def values(self, index: int) -> list[str]:
        """Return the sample cells of one column that are not empty."""
        return [row[index] for row in self.sample if index < len(row) and row[index].strip()]

    def unit(self, index: int) -> str:
        """Return the temperature unit told by the header, the row of units or the group above."""
        told = names.split_unit(self.cells[index])[1]
        if not told and index < len(self.units):
            found = _UNIT_CELL.match(self.units[index].strip())
            told = ("degF" if found[1].lower()[0] == "f" else "degC") if found else ""
        if not told and index < len(self.groups) and names.may_be_temperature(self.cells[index]):
            told = names.split_unit(self.groups[index])[1]
        return told


def resolve(
    header: Header, column_map: ColumnMap | None, *, accept_guesses: bool, is_strict: bool = True
) -> ColumnPlan:
    """Decide for each canonical column which header it is read from.

    `is_strict`: every mapped header must be there; else only those of required columns.
    Raises InputError where a mapped header is not in the file.
    """
    plan = column_map or ColumnMap()
    tries = [_resolve(kind, header, plan) for kind in ("reading", "finding")]
    reading, finding = tries
    chosen = finding if _is_finding(reading, finding) else reading
    if column_map:
        _check_headers(chosen, header, plan, is_strict)
    if accept_guesses and chosen.pending:
        chosen = _accepted(chosen, header, plan)
    return chosen


def _is_finding(reading: ColumnPlan, finding: ColumnPlan) -> bool:
    def has(mapping: ColumnPlan, name: str, *, guess: bool) -> bool:
        found = {m.column for m in mapping.pending} if guess else set()
        return name in {*mapping.sources, *mapping.constants, *found}

    if has(reading, "device_temp", guess=False):
        return False
    if has(finding, "finding", guess=False):
        return True
    return has(finding, "finding", guess=True) and not has(reading, "device_temp", guess=True)


def _resolve(kind: str, header: Header, plan: ColumnMap) -> ColumnPlan:
    allowed = names.NAMES[kind]
    matches: dict[str, Match] = {}
    sources: dict[str, tuple[int, ...]] = {}
    used: set[int] = set()
    for column, indexes in _mapped(header, plan, allowed):
        sources[column] = indexes
        is_joined = len(indexes) > 1
        used.update(i for i in indexes if not (is_joined and names.exact(header.cells[i])[0]))
        shown = " + ".join(header.cells[i] for i in indexes)
        matches[column] = Match(column, shown, "map", header.unit(indexes[0]))
    for index, cell in enumerate(header.cells):
        column, _ = names.exact(cell)
        if column in allowed and column not in sources and index not in used:
            if column in plan.constants:
                continue
            sources[column] = (index,)
            used.add(index)
            matches[column] = Match(column, cell, "exact", header.unit(index))
    for column, value in plan.constants.items():
        if column in allowed:
            matches[column] = Match(column, value, "constant")
    constants = {c: v for c, v in plan.constants.items() if c in allowed and c not in sources}
    guesses = _guesses(kind, header, used, {*sources, *constants})
    ignored = tuple(c for i, c in enumerate(header.cells) if i not in used and c.strip())
    unit, notices = _units(header, sources, plan)
    order = {name: n for n, name in enumerate(allowed)}
    shown_matches = tuple(sorted(matches.values(), key=lambda m: order[m.column]))
    return ColumnPlan(kind, sources, constants, unit, shown_matches, guesses, ignored, notices)


def _mapped(
    header: Header, plan: ColumnMap, allowed: Sequence[str]
) -> list[tuple[str, tuple[int, ...]]]:
    """Return the mapped columns that this sheet has; a map may name another mapped column too."""
    place: dict[str, tuple[int, ...]] = {}
    for index, cell in enumerate(header.cells):
        place.setdefault(header_key(cell), (index,))
    found: dict[str, tuple[int, ...]] = {}
    for column in 2 * plan.mapped:
        for headers in plan.choices(column) if column in allowed and column not in found else ():
            indexes = [place.get(header_key(h)) or found.get(h) for h in headers]
            if all(indexes):
                found[column] = tuple(i for one in indexes for i in one or ())
                break
    return list(found.items())


def _check_headers(chosen: ColumnPlan, header: Header, plan: ColumnMap, is_strict: bool) -> None:
    found = dict(_mapped(header, plan, names.NAMES[chosen.kind]))
    by_header = [c for c in plan.mapped if not set(plan.headers_of(c)) & set(plan.mapped)]
    for column in dict.fromkeys((*by_header, *plan.mapped)):
        must = is_strict or column in names.REQUIRED[chosen.kind]
        if column not in names.NAMES[chosen.kind] or column in found or not must:
            continue
        choices = (" + ".join(f"“{h}”" for h in choice) for choice in plan.choices(column))
        sought = " or ".join(choices)
        shown = ", ".join(f"“{c}”" for c in header.cells if c.strip())
        raise InputError(
            f"The column map reads {column} from {sought}, and no header is called so.",
            f"The headers are {shown}.",
        )


def _guesses(kind: str, header: Header, used: set[int], have: set[str]) -> tuple[Match, ...]:
    found: dict[str, Match] = {}
    taken: set[int] = set()
    for strength in (_is_wanted_by_unit, _fits_anyway):
        for column in (*names.REQUIRED[kind], *names.NAMES[kind]):
            if column in have or column in found:
                continue
            for index, cell in enumerate(header.cells):
                if index in used or index in taken or not _may_be(column, cell):
                    continue
                if strength(column, header, index):
                    found[column] = Match(column, cell, "guess", header.unit(index))
                    taken.add(index)
                    break
    order = names.NAMES[kind]
    return tuple(sorted(found.values(), key=lambda m: order.index(m.column)))


def _may_be(column: str, cell: str) -> bool:
    name, _ = names.split_unit(cell)
    return column in names.synonyms().get(names.key(name), ())


def _is_wanted_by_unit(column: str, header: Header, index: int) -> bool:
    return bool(header.unit(index)) and column in names.TEMPERATURES


def _fits_anyway(column: str, header: Header, index: int) -> bool:
    if header.unit(index) and column not in names.TEMPERATURES:
        return False
    values = header.values(index)
    if not values:
        return True
    test: Callable[[str], bool] = str.isdigit if column in _DIGITS else str.isalpha
    if column not in _DIGITS and column not in _LETTERS:
        return True
    return sum(any(test(c) for c in value) for value in values) * 2 >= len(values)


def _units(
    header: Header, sources: Mapping[str, tuple[int, ...]], plan: ColumnMap
) -> tuple[dict[str, str], tuple[Notice, ...]]:
    """Settle each temperature's unit: its own in the map, its header's, the map's default."""
    unit: dict[str, str] = {}
    for name in names.TEMPERATURES:
        told = header.unit(sources[name][0]) if name in sources else ""
        unit[name] = plan.units.get(name, "") or told or plan.units.get("temp_unit", "")
    told_units = {u for name, u in unit.items() if u and name in sources}
    silent = [name for name in sources if name in unit and not unit[name]]
    if len(told_units) != 1 or not silent or "temp_unit" in sources:
        return unit, ()
    one = told_units.pop()
    unit.update(dict.fromkeys(silent, one))
    sentence = f"{', '.join(silent)} tell no unit; the other headers' {one} was taken for them."
    return unit, (Notice("unit_carried_over", sentence, {"columns": silent, "unit": one}),)


def _accepted(mapping: ColumnPlan, header: Header, plan: ColumnMap) -> ColumnPlan:
    place = {cell: i for i, cell in reversed(list(enumerate(header.cells)))}
    sources = {**mapping.sources, **{m.column: (place[m.header],) for m in mapping.pending}}
    unit, notices = _units(header, sources, plan)
    order = names.NAMES[mapping.kind]
    matches = sorted((*mapping.matches, *mapping.pending), key=lambda m: order.index(m.column))
    guessed = {m.header for m in mapping.pending}
    return replace(
        mapping,
        sources=sources,
        unit=unit,
        matches=tuple(matches),
        pending=(),
        ignored=tuple(cell for cell in mapping.ignored if cell not in guessed),
        notices=notices,
    )


def tells_unit(mapping: ColumnPlan, header: Header) -> bool:
    """Tell whether headers, map, a unit column or the cells say °F or °C for the rises."""
    if "temp_unit" in mapping.constants or not header.sample:
        return True
    if "temp_unit" in mapping.sources and header.values(mapping.sources["temp_unit"][0]):
        return True
    return all(_column_tells(mapping, header, name) for name in ("ambient_temp", "device_temp"))


def _column_tells(mapping: ColumnPlan, header: Header, name: str) -> bool:
    if mapping.unit.get(name) or name not in mapping.sources:
        return True
    values = header.values(mapping.sources[name][0])
    return any(_CELL_UNIT.search(value) for value in values)
