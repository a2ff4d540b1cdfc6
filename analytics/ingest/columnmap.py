"""The column map a firm writes once: a TOML file that says which header is which column."""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from analytics.columns import CONDUCTOR_MATERIALS, DEVICE_CLASSES, FINDINGS, PANEL_LOCATIONS
from analytics.errors import UsageError
from analytics.ingest import names
from analytics.plain import printable
from analytics.units import UNIT_SYMBOL

SECTIONS = ("columns", "constants", "units", "classes", "values")
SETTINGS = {"date_order": ("dmy", "mdy"), "decimal": (",", ".")}
FILL_DOWN = "fill_down"
MEANINGS = {
    "panel_location": PANEL_LOCATIONS,
    "conductor_material": CONDUCTOR_MATERIALS,
    "finding": tuple(FINDINGS),
    "yes_no": ("yes", "no"),
}


@dataclass(frozen=True)
class ColumnMap:
    """Which header is which column, in which unit, and how values are spelled.

    `columns` holds one header for each canonical name, or several whose cells are joined by a
    blank (a date and a time), named by their text or by the column mapped to them; `either` holds
    headers of which a sheet has one. `own_lines` holds the words that open a line of its own,
    whose rest is the column's value for the rows below; `fill_down` the columns whose empty cells
    mean the cell above. `units` holds degF or degC by temperature column, with `temp_unit` for all
    others. `constants` gives a column one value for all rows.
    """

    columns: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    either: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    own_lines: Mapping[str, str] = field(default_factory=dict)
    fill_down: tuple[str, ...] = ()
    constants: Mapping[str, str] = field(default_factory=dict)
    units: Mapping[str, str] = field(default_factory=dict)
    classes: Mapping[str, str] = field(default_factory=dict)
    values: Mapping[str, str] = field(default_factory=dict)
    date_order: str = ""
    decimal: str = ""

    @property
    def header_keys(self) -> frozenset[str]:
        """Spelling keys of the mapped headers."""
        return frozenset(header_key(h) for column in self.mapped for h in self.headers_of(column))

    @property
    def mapped(self) -> tuple[str, ...]:
        """Columns that are read from a header or a line of their own."""
        return tuple(dict.fromkeys((*self.columns, *self.either, *self.own_lines)))

    def choices(self, column: str) -> tuple[tuple[str, ...], ...]:
        """Return what a column may be read from, best first; the headers of one are joined."""
        own = ((own_header(self.own_lines[column]),),) if column in self.own_lines else ()
        joined = (self.columns[column],) if column in self.columns else ()
        return (*own, *((header,) for header in self.either.get(column, ())), *joined)

    def headers_of(self, column: str) -> tuple[str, ...]:
        """Return all headers that a column may be read from."""
        return tuple(header for choice in self.choices(column) for header in choice)


def own_header(opening: str) -> str:
    """Return the header given to the values of lines that open with these words."""
    return f"the line {opening} …"


def header_key(header: str) -> str:
    """Return what must agree for two headers to be the same: letters, digits and signs seen."""
    return "".join(printable(header).casefold().split())


def read(path: Path) -> ColumnMap:
    """Read and check a column map. Raises UsageError with the place and the closest right word."""
    try:
        text = path.read_text(encoding="utf-8-sig")
        return parse(tomllib.loads(text), path.name)
    except OSError as error:
        raise UsageError(f"The column map {path.name} cannot be read: {error.strerror}.") from error
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise UsageError(f"The column map {path.name} is no valid TOML: {error}.") from error


def parse(content: Mapping[str, Any], name: str) -> ColumnMap:
    """Check the content of a column map called `name`."""
    for word in content:
        known = (*SECTIONS, *SETTINGS, FILL_DOWN)
        _known(word, known, f"{name}: there is no section or setting")
    for section in SECTIONS:
        if not isinstance(content.get(section, {}), dict):
            raise UsageError(f"{name}: [{section}] must be a table of pairs.")
    for setting, allowed in SETTINGS.items():
        if setting in content:
            _known(str(content[setting]), allowed, f"{name}: {setting} cannot be")
    columns, either, own_lines = _columns(content.get("columns", {}), name)
    return ColumnMap(
        columns=columns,
        either=either,
        own_lines=own_lines,
        fill_down=_fill_down(content.get(FILL_DOWN, []), name),
        constants=_constants(content.get("constants", {}), name),
        units=_units(content.get("units", {}), name),
        classes=_meanings(content.get("classes", {}), tuple(DEVICE_CLASSES), f"{name}, [classes]"),
        values=_meanings(
            content.get("values", {}),
            tuple(m for group in MEANINGS.values() for m in group),
            f"{name}, [values]",
        ),
        date_order=str(content.get("date_order", "")),
        decimal=str(content.get("decimal", "")),
    )


def _known(word: str, allowed: Sequence[str], start: str) -> None:
    if word in allowed:
        return
    close = difflib.get_close_matches(word, allowed, n=1, cutoff=0.4)
    hint = f"Did you mean “{close[0]}”? " if close else ""
    raise UsageError(f"{start} “{word}”.", f"{hint}Known are {', '.join(allowed)}.")


_ALL_NAMES = tuple(dict.fromkeys((*names.READING_NAMES, *names.FINDING_NAMES)))
_FORMS = (
    'must name a header, a list of headers to join, { either = ["One", "Other"] } or '
    '{ own_line = "Panel:" }'
)


def _columns(
    section: Mapping[str, Any], name: str
) -> tuple[dict[str, tuple[str, ...]], dict[str, tuple[str, ...]], dict[str, str]]:
    """Return what is joined, what is one or the other, and what opens a line of its own."""
    joined: dict[str, tuple[str, ...]] = {}
    either: dict[str, tuple[str, ...]] = {}
    own_lines: dict[str, str] = {}
    for column, told in section.items():
        if column in (*SETTINGS, FILL_DOWN):
            raise UsageError(f"{name}: {column} must stand at the top, above [columns].")
        _known(column, _ALL_NAMES, f"{name}, [columns]: there is no column")
        if not isinstance(told, dict):
            joined[column] = _headers(told, column, name)
            continue
        if not told or not set(told) <= {"either", "own_line"}:
            raise UsageError(f"{name}, [columns]: {column} {_FORMS}.")
        if "either" in told:
            either[column] = _headers(told["either"], column, name)
        if "own_line" in told:
            own_lines[column] = str(told["own_line"])
    return joined, either, own_lines


def _headers(told: object, column: str, name: str) -> tuple[str, ...]:
    several = [told] if isinstance(told, str) else told
    if not isinstance(several, list) or not all(isinstance(h, str) and h for h in several):
        raise UsageError(f"{name}, [columns]: {column} {_FORMS}.")
    return tuple(several)


def _fill_down(told: object, name: str) -> tuple[str, ...]:
    if not isinstance(told, list):
        raise UsageError(f'{name}: {FILL_DOWN} must be a list, such as ["panel_id"].')
    for column in told:
        _known(str(column), _ALL_NAMES, f"{name}, {FILL_DOWN}: there is no column")
    return tuple(str(column) for column in told)


def _constants(section: Mapping[str, Any], name: str) -> dict[str, str]:
    for column in section:
        _known(column, _ALL_NAMES, f"{name}, [constants]: there is no column")
    return {column: str(value) for column, value in section.items()}


def _units(section: Mapping[str, Any], name: str) -> dict[str, str]:
    for column, unit in section.items():
        allowed = ("temp_unit", *names.TEMPERATURES)
        _known(column, allowed, f"{name}, [units]: there is no temperature column")
        _known(str(unit), tuple(UNIT_SYMBOL), f"{name}, [units]: {column} has no unit")
    return {column: str(unit) for column, unit in section.items()}


def _meanings(section: Mapping[str, Any], allowed: tuple[str, ...], place: str) -> dict[str, str]:
    for spelling, meaning in section.items():
        _known(str(meaning), allowed, f"{place}: “{spelling}” cannot mean")
    return {spelling: str(meaning) for spelling, meaning in section.items()}
