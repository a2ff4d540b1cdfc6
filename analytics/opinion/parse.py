"""A reading as a person types it: “64F”, “9.2 A”, “arc fault”, “30 min”."""

from __future__ import annotations

import re
import tomllib
import unicodedata
from collections.abc import Mapping, Sequence
from importlib.resources import files

from analytics import columns
from analytics.errors import UsageError
from analytics.opinion.reading import SENTENCES, Reading, problems
from analytics.units import exact_to_degc

_NUMBER = r"([-−+]?(?:\d+(?:[.,]\d*)?|[.,]\d+))"
_TEMPERATURE = re.compile(rf"\s*{_NUMBER}\s*°?\s*(?:deg)?\s*([FC])\s*", re.IGNORECASE)
_BARE = re.compile(rf"\s*{_NUMBER}\s*°?\s*")
_AMPS = re.compile(rf"\s*{_NUMBER}\s*(?:A|amps?)?\s*", re.IGNORECASE)
_MINUTES = re.compile(rf"\s*{_NUMBER}\s*(?:m|mins?|minutes?)?\s*", re.IGNORECASE)
_COUNT = re.compile(r"\s*(\d+)\s*(?:P|poles?)?\s*", re.IGNORECASE)

Typed = Mapping[str, str | None]


def read_typed(typed: Typed, beside: Sequence[str] = ()) -> Reading:
    """Return the reading of the options' texts; keys as the options, without dashes.

    Raises UsageError with one sentence that names the option where one cannot be read or be true.
    """
    missing = [f"--{name}" for name in ("class", "rating", "ambient", "device") if not typed[name]]
    if missing:
        raise UsageError(
            f"{', '.join(missing)}: needed to judge a reading.",
            "Or name a stored one by --inspection, --panel and --position.",
        )
    device_class = _class(str(typed["class"]))
    reading = Reading(
        device_class=device_class,
        rated_a=_amps("rating", str(typed["rating"])),
        ambient_degc=_degc("ambient", str(typed["ambient"])),
        device_degc=_degc("device", str(typed["device"])),
        current_a=None if not typed["current"] else _amps("current", typed["current"]),
        poles=_poles(typed["poles"], device_class),
        load_minutes=None if not typed["minutes"] else _minutes(typed["minutes"]),
        make=typed["make"] or None,
        termination_degc=_maybe_degc("termination", typed),
        conductor_degc=_maybe_degc("conductor", typed),
        floor_degc=_maybe_degc("floor", typed),
        beside_degc=tuple(_degc("beside", one) for one in beside),
        unit=unit_of(str(typed["ambient"])),
    )
    if found := problems(reading):
        raise _refused(found[0].field, found[0].sentence)
    return reading


def unit_of(text: str) -> str:
    """Return degC for a temperature typed in °C, degF for any other."""
    return "degC" if text.strip().upper().endswith("C") else "degF"


def _refused(option: str, sentence: str) -> UsageError:
    return UsageError(f"--{option}: {sentence}")


def _class(text: str) -> str:
    plain = re.sub(r"[-\s]+", "_", text.strip().lower())
    if plain in columns.DEVICE_CLASSES:
        return plain
    spelled = files("analytics.ingest").joinpath("spellings.toml").read_text(encoding="utf-8")
    for name, words in tomllib.loads(spelled)["device_class"].items():
        if _folded(text) in map(_folded, words):
            return str(name)
    sentence = SENTENCES["no_class"].format(value=text, classes=", ".join(columns.DEVICE_CLASSES))
    raise _refused("class", sentence)


def _folded(text: str) -> str:
    """Return the letters and digits of a text, without case and accents."""
    parts = unicodedata.normalize("NFKD", text.casefold())
    return "".join(one for one in parts if one.isalnum())


def _value(text: str) -> float:
    return float(text.replace("−", "-").replace(",", "."))


def _number(option: str, pattern: re.Pattern[str], text: str) -> float:
    found = pattern.fullmatch(text)
    if not found:
        raise _refused(option, SENTENCES["not_finite"].format(value=text))
    return _value(found[1])


def _amps(option: str, text: str) -> float:
    return _number(option, _AMPS, text)


def _minutes(text: str) -> float:
    return _number("minutes", _MINUTES, text)


def _degc(option: str, text: str) -> float:
    if found := _TEMPERATURE.fullmatch(text):
        return exact_to_degc(_value(found[1]), f"deg{found[2].upper()}")
    if _BARE.fullmatch(text):
        plain = text.strip().rstrip("°").strip()
        raise _refused(option, f"“{text}” has no unit: write {plain}F or {plain}C.")
    raise _refused(option, f"“{text}” is no temperature: write one such as 64F or 18C.")


def _maybe_degc(option: str, typed: Typed) -> float | None:
    text = typed[option]
    return None if not text else _degc(option, text)


def _poles(text: str | None, device_class: str) -> int:
    """Return the poles; where they are not told, 2 of a main and 1 of any other."""
    if not text:
        return 2 if device_class == "main" else 1
    found = _COUNT.fullmatch(text)
    if not found:
        raise _refused("poles", SENTENCES["not_finite"].format(value=text))
    return int(found[1])
