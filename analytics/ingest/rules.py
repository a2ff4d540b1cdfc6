"""The catalogue of rules and the tables of spellings, as rows for the queries."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from analytics.ingest import names
from analytics.ingest.columnmap import MEANINGS, ColumnMap


@dataclass(frozen=True)
class Rule:
    """Why a row is not kept (`kind` quarantine) or marked (`kind` recheck)."""

    code: str
    kind: str
    sentence: str
    source: str


@cache
def catalogue() -> dict[str, Rule]:
    """Return the rules by code."""
    return {code: Rule(code, **entry) for code, entry in names.read_toml("rules.toml").items()}


@cache
def _spellings() -> dict[tuple[str, str], str]:
    """Return (kind, spelling key) -> meaning; a spelling of signs only is its own key."""
    found: dict[tuple[str, str], str] = {}
    for kind, group in names.read_toml("spellings.toml").items():
        for meaning, spellings in group.items():
            for spelling in (meaning, *spellings):
                found.setdefault((kind, names.key(spelling)), meaning)
    return found


def words(column_map: ColumnMap | None) -> dict[str, dict[str, list[str]]]:
    """Return the tables of spellings by kind, with the firm's own, as the parameter $words."""
    found = dict(_spellings())
    for spelling, meaning in (column_map.classes if column_map else {}).items():
        found[("device_class", names.key(spelling))] = meaning
    for spelling, meaning in (column_map.values if column_map else {}).items():
        for kind, allowed in MEANINGS.items():
            if meaning in allowed:
                found[(kind, names.key(spelling))] = meaning
    tables: dict[str, dict[str, list[str]]] = {}
    for (kind, spelling), meaning in found.items():
        table = tables.setdefault(kind, {"known": [], "spelling": [], "meaning": []})
        table["spelling"].append(spelling)
        table["meaning"].append(meaning)
        if meaning not in table["known"]:
            table["known"].append(meaning)
    return tables


@cache
def wire_limits() -> tuple[tuple[str, str, float], ...]:
    """Return (material, size, largest rating ahead of it [A]). Source: conductors.toml."""
    tables = names.read_toml("conductors.toml")
    return tuple((m, awg, float(a)) for m, sizes in tables.items() for awg, a in sizes.items())
