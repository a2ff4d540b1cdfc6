"""The column map a firm writes once: a TOML file that says which header is which column."""

from __future__ import annotations

import difflib
import json
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from analytics.columns import CONDUCTOR_MATERIALS, DEVICE_CLASSES, FINDINGS, PANEL_LOCATIONS
from analytics.errors import UsageError
from analytics.ingest import names
from analytics.units import UNIT_SYMBOL

SECTIONS = ("columns", "constants", "units", "classes", "values")
SETTINGS = {"date_order": ("dmy", "mdy"), "decimal": (",", ".")}
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
    blank (a date and a time). `units` holds degF or degC by temperature column, with `temp_unit`
    for all others. `constants` gives a column one value for all rows.
    """

    columns: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    constants: Mapping[str, str] = field(default_factory=dict)
    units: Mapping[str, str] = field(default_factory=dict)
    classes: Mapping[str, str] = field(default_factory=dict)
    values: Mapping[str, str] = field(default_factory=dict)
    date_order: str = ""
    decimal: str = ""

    @property
    def header_keys(self) -> frozenset[str]:
        """Spelling keys of the mapped headers."""
        return frozenset(header_key(h) for headers in self.columns.values() for h in headers)


def header_key(header: str) -> str:
    """Return what must agree for two headers to be the same: letters, digits and signs."""
    return "".join(header.casefold().split())


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
        _known(word, (*SECTIONS, *SETTINGS), f"{name}: there is no section or setting")
    for section in SECTIONS:
        if not isinstance(content.get(section, {}), dict):
            raise UsageError(f"{name}: [{section}] must be a table of pairs.")
    for setting, allowed in SETTINGS.items():
        if setting in content:
            _known(str(content[setting]), allowed, f"{name}: {setting} cannot be")
    return ColumnMap(
        columns=_columns(content.get("columns", {}), name),
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
    hint = f"Did you mean “{close[0]}”?" if close else f"Known are {', '.join(allowed)}."
    raise UsageError(f"{start} “{word}”.", hint)


_ALL_NAMES = tuple(dict.fromkeys((*names.READING_NAMES, *names.FINDING_NAMES)))


def _columns(section: Mapping[str, Any], name: str) -> dict[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for column, headers in section.items():
        _known(column, _ALL_NAMES, f"{name}, [columns]: there is no column")
        several = [headers] if isinstance(headers, str) else headers
        if not isinstance(several, list) or not all(isinstance(h, str) and h for h in several):
            raise UsageError(f"{name}, [columns]: {column} must name a header, or a list of them.")
        found[column] = tuple(several)
    return found


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


def to_toml(
    columns: Mapping[str, Sequence[str]], units: Mapping[str, str], remarks: Sequence[str] = ()
) -> str:
    """Write a column map that is ready to be saved; JSON's quoting of strings is TOML's too."""
    lines = [f"# {remark}" for remark in remarks]
    lines.append("[columns]")
    for column, headers in columns.items():
        value: object = headers[0] if len(headers) == 1 else list(headers)
        lines.append(f"{column} = {json.dumps(value, ensure_ascii=False)}")
    lines += ["", "[units]"]
    lines += [f'{column} = "{unit}"' for column, unit in units.items()]
    if not units:
        lines.append('# temp_unit = "degF"  or  "degC": say which, it is not guessed')
    return "\n".join(lines) + "\n"
