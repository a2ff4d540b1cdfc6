"""The column map that would take a file in, for the reader to correct."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from analytics.columns import DEVICE_CLASSES
from analytics.ingest import names, rules
from analytics.ingest.columnmap import ColumnMap
from analytics.ingest.mapping import ColumnPlan, Header
from analytics.plain import printable

MOST_STRANGE = 40
"""Unknown words for a class that a map asks about; chosen."""
MOST_OPENING = 20
"""Letters of the words that open a line of its own; chosen, such a word is short."""


@dataclass(frozen=True)
class Seen:
    """One sheet: its name, its header, and which header is which column."""

    sheet: str
    header: Header
    plan: ColumnPlan


def suggest(seen: Sequence[Seen], column_map: ColumnMap | None) -> str:
    """Return the column map that would take all sheets in, as TOML, with what it still lacks."""
    told = column_map or ColumnMap()
    lines = [*_top(told), "", "[columns]"]
    found = _columns(seen, told)
    missing = _missing(seen)
    opening = next(
        (o for one in seen if "panel_id" in one.plan.unlike and (o := _opening(one))), ""
    )
    if opening and "panel_id" not in told.mapped:
        found["panel_id"] = {**_either(found.get("panel_id")), "own_line": opening}
        missing.pop("panel_id", None)
    lines += [f"{column} = {_value(value)}" for column, value in found.items()]
    lines += _asked(missing, found, len(seen))
    unused = dict.fromkeys(h for one in seen for h in _unused(one.plan))
    if unused:
        lines.append(f"# Headers not used: {', '.join(map(_value, unused))}")
    lines += _units(seen, told)
    for section, pairs in (("constants", told.constants), ("values", told.values)):
        if pairs:
            lines += ["", f"[{section}]", *(f"{_value(k)} = {_value(v)}" for k, v in pairs.items())]
    return "\n".join([*lines, *_classes(seen, told)]) + "\n"


def _top(told: ColumnMap) -> Iterator[str]:
    if told.date_order:
        yield f"date_order = {_value(told.date_order)}"
    else:
        yield '# date_order = "mdy"         # or "dmy"; only where the dates do not tell'
    if told.decimal:
        yield f"decimal = {_value(told.decimal)}"
    if told.fill_down:
        yield f"fill_down = {_value(list(told.fill_down))}"
    else:
        yield '# fill_down = ["panel_id"]   # columns whose empty cells mean the cell above'


def _columns(seen: Sequence[Seen], told: ColumnMap) -> dict[str, object]:
    """Return what each column is read from: as the map says, else by the headers of the sheets."""
    found: dict[str, object] = {}
    for column in told.mapped:
        found[column] = told.columns.get(column)
        if column in told.either or column in told.own_lines:
            own = {"own_line": told.own_lines[column]} if column in told.own_lines else {}
            found[column] = {**_either(told.either.get(column)), **own}
    for name in (name for kind in names.NAMES.values() for name in kind):
        matches = (m for one in seen for m in (*one.plan.matches, *one.plan.pending))
        headers = dict.fromkeys(m.header for m in matches if m.column == name)
        if headers and name not in found and name not in told.constants:
            found[name] = tuple(headers) if len(headers) == 1 else _either(tuple(headers))
    return found


def _either(value: object) -> dict[str, object]:
    return {"either": value} if isinstance(value, tuple) else {}


def _missing(seen: Sequence[Seen]) -> dict[str, str]:
    """Return the sheets on which no header resembles a column, for each such column."""
    found: dict[str, list[str]] = {}
    for one in seen:
        for name in one.plan.unlike:
            found.setdefault(name, []).append(one.sheet)
    return {name: ", ".join(sheets) for name, sheets in found.items()}


def _asked(missing: Mapping[str, str], found: Mapping[str, object], count: int) -> Iterator[str]:
    """Yield the columns still to be named, with what they hold and a proposal."""
    if missing:
        yield "# Needed, and no header resembles it: name the header and take the # away."
    for name, sheets in missing.items():
        value, hint = '""', ""
        if name == "inspection_id" and "inspected_at" in found:
            value = _value(["panel_id", "inspected_at"])
            hint = "; this joins panel and date, for visits without a number"
        elif name == "panel_id":
            value = '{ own_line = "Panel:" }'
            hint = "; this reads it from a line above its rows"
        where = f" (on {sheets})" if count > 1 and name in found else ""
        yield f"# {name} = {value}   # {names.meaning(name)}{hint}{where}"


def _unused(plan: ColumnPlan) -> list[str]:
    guessed = {m.header for m in plan.pending}
    return [header for header in plan.ignored if header not in guessed]


def _opening(one: Seen) -> str:
    """Return the words up to the colon that open rows of a single cell, else ''."""
    cells = ([c.strip() for c in row if c.strip()] for row in one.header.sample)
    words = Counter(row[0].partition(":")[0] for row in cells if len(row) == 1 and ":" in row[0])
    usual = next((word for word, _ in words.most_common(1) if len(word) <= MOST_OPENING), "")
    return f"{usual}:" if usual else ""


def _units(seen: Sequence[Seen], told: ColumnMap) -> Iterator[str]:
    units = dict(told.units)
    shown = {unit for one in seen for unit in one.plan.unit.values() if unit}
    shown |= {m.unit for one in seen for m in one.plan.pending if m.unit}
    if not units and len(shown) == 1:
        units["temp_unit"] = shown.pop()
    yield from ("", "[units]")
    yield from (f"{column} = {_value(unit)}" for column, unit in units.items())
    if not units:
        yield '# temp_unit = "degF"   # or "degC": say which, it is not guessed'


def _classes(seen: Sequence[Seen], told: ColumnMap) -> Iterator[str]:
    """Yield what the map says of words for a class, and which words no table knows."""
    known = rules.words(told)["device_class"]["spelling"]
    strange = dict.fromkeys(
        cell
        for one in seen
        for m in (*one.plan.matches, *one.plan.pending)
        if m.column == "device_class" and m.header in one.header.cells
        for cell in map(str.strip, one.header.values(one.header.cells.index(m.header)))
        if any(map(str.isalpha, cell)) and names.key(cell) not in known
    )
    if told.classes or strange:
        yield from ("", "[classes]")
        yield from (f"{_value(word)} = {_value(one)}" for word, one in told.classes.items())
    if strange:
        yield "# No table knows these words: say what each means, one of"
        yield f"# {', '.join(DEVICE_CLASSES)}"
        yield from (f'# {_value(word)} = "standard"' for word in list(strange)[:MOST_STRANGE])


def _value(value: object) -> str:
    """Return a value in TOML; JSON's quoting of strings is TOML's too."""
    if isinstance(value, dict):
        pairs = (
            f"{key} = {_value(list(one) if key == 'either' else one)}" for key, one in value.items()
        )
        return f"{{ {', '.join(pairs)} }}"
    if isinstance(value, tuple):
        value = value[0] if len(value) == 1 else list(value)
    return printable(json.dumps(value, ensure_ascii=False))
