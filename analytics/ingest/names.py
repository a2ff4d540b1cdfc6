"""Names of incoming columns: canonical names, their synonyms, and units told in a header."""

from __future__ import annotations

import re
import tomllib
import unicodedata
from functools import cache
from importlib.resources import files
from typing import Any

from analytics.columns import FINDING_COLUMNS, READING_COLUMNS


def incoming_name(name: str) -> str:
    """Return the name a column of the store has in a file: `ambient_degc` is `ambient_temp`."""
    return name.removesuffix("_degc") + "_temp" if name.endswith("_degc") else name


TEMPERATURES = tuple(incoming_name(c.name) for c in READING_COLUMNS if c.name.endswith("_degc"))
READING_NAMES = (*(incoming_name(c.name) for c in READING_COLUMNS), "temp_unit")
FINDING_NAMES = tuple(c.name for c in FINDING_COLUMNS)
NAMES = {"reading": READING_NAMES, "finding": FINDING_NAMES}
REQUIRED = {
    "reading": tuple(incoming_name(c.name) for c in READING_COLUMNS if c.is_required),
    "finding": tuple(c.name for c in FINDING_COLUMNS if c.is_required),
}

_UNIT = r"(?:°|º|˚|deg(?:rees?)?\.?)?\s*(?P<letter>f|c|fahrenheit|celsius|centigrade)"
_IN_BRACKETS = re.compile(rf"[(\[]\s*(?:in\s+)?{_UNIT}\s*[)\]]", re.I)
_AT_END = re.compile(
    r"(?:[\s,_/-]+(?:in[\s_]+)?(?:(?:°|º|˚)\s*|deg(?:rees?)?[\s._]*)|\s*(?:°|º|˚)\s*|[\s,_]+(?=fahr|cels|cent)"
    r"|[\s,_/]+(?=[FC]$))(?P<letter>f|c|fahrenheit|celsius|centigrade)\.?\s*$",
    re.I,
)
_OTHER_BRACKETS = re.compile(r"[(\[]\s*(?:a|amps?|min|minutes?|mins?|k|1|%|awg)\s*[)\]]", re.I)


def key(text: str) -> str:
    """Return the spelling without case, accents, blanks and signs (as the macro parse_key)."""
    plain = unicodedata.normalize("NFKD", text.lower())
    return "".join(c for c in plain if c.isalnum() and not unicodedata.combining(c))


def split_unit(header: str) -> tuple[str, str]:
    """Split a header into its name and the temperature unit it tells ('', degF or degC)."""
    text = " ".join(header.split())
    for pattern in (_IN_BRACKETS, _AT_END):
        if found := pattern.search(text):
            name = (text[: found.start()] + " " + text[found.end() :]).strip()
            unit = "degF" if found["letter"].lower().startswith("f") else "degC"
            if name:
                return name, unit
    return _OTHER_BRACKETS.sub(" ", text).strip(), ""


def read_toml(name: str) -> dict[str, Any]:
    """Read one of the data files that lie beside this module."""
    text = files("analytics.ingest").joinpath(name).read_text(encoding="utf-8")
    return tomllib.loads(text)


@cache
def canonical() -> dict[str, str]:
    """Return spelling key -> canonical name."""
    return {key(name): name for name in (*READING_NAMES, *FINDING_NAMES)}


@cache
def _stored() -> dict[str, str]:
    """Return spelling key -> canonical name, the store's `ambient_degc` without its unit."""
    return {key(name.removesuffix("_temp")): name for name in TEMPERATURES}


@cache
def synonyms() -> dict[str, tuple[str, ...]]:
    """Return spelling key -> canonical names a header of the trade may stand for."""
    found: dict[str, tuple[str, ...]] = {}
    for name, spellings in read_toml("synonyms.toml").items():
        for spelling in spellings:
            known = found.get(key(spelling), ())
            if name not in known:
                found[key(spelling)] = (*known, name)
    return found


@cache
def _meanings() -> dict[str, str]:
    return {incoming_name(c.name): c.meaning for c in (*FINDING_COLUMNS, *READING_COLUMNS)}


def meaning(name: str) -> str:
    """Return what a column holds, in words."""
    return _meanings().get(name, "")


def may_be_temperature(header: str) -> bool:
    """Tell whether a header can be a temperature's: one by its name, or by no known name at all."""
    name = split_unit(header)[0]
    known = {exact(header)[0], *synonyms().get(key(name), ())} - {""}
    return not known or not known.isdisjoint(TEMPERATURES)


def exact(header: str) -> tuple[str, str]:
    """Return (canonical name or '', unit) of a header that is a canonical name.

    Case, blanks, underscores and a unit at the end do not matter: `Device temp (°F)`,
    `ambient_degc`. Anything else is at most a guess.
    """
    name, unit = split_unit(header)
    if re.search(r"_deg[cf]$", header.strip(), re.I) and (found := _stored().get(key(name))):
        return found, unit
    return canonical().get(key(name), ""), unit
