"""What the pocket page asks for: fields and classes with their words."""

from __future__ import annotations

from dataclasses import dataclass

from analytics.columns import CLASS_WORDS, DEVICE_CLASSES

CLASS_LABELS: dict[str, tuple[str, str]] = {
    "standard": ("Standard", "plain"),
    "afci": ("AFCI", "arc-fault"),
    "gfci": ("GFCI", "ground-fault"),
    "dual_function": ("Dual", "AFCI+GFCI"),
    "main": ("Main", "of the panel"),
    "surge_protector": ("Surge", "protector"),
    "energy_monitor": ("Monitor", "of energy"),
    "other_electronic": ("Other", "electronic"),
}
"""Device class -> what its button says, and the smaller line under it; short enough for a
quarter of a phone."""
UNNOTED = "not noted"
"""The make of a reading without one, as in `normalise.reading`."""
BRANCH_PICKS = (15, 20, 30, 40, 50, 60)
MAIN_PICKS = (60, 100, 125, 150, 200, 400)
"""Ratings [A] that one touch fills in; chosen: those met most in dwellings."""


@dataclass(frozen=True)
class Field:
    """One number to type; `name` is that of `analytics.opinion.Problem`, `key` the script's."""

    name: str
    key: str
    label: str
    symbol: str
    remark: str = ""
    missing: str = ""
    keyboard: str = "decimal"

    @property
    def is_required(self) -> bool:
        """Whether no verdict is given without it."""
        return bool(self.missing)

    @property
    def is_temperature(self) -> bool:
        """Whether the number is a temperature, typed in °F or °C."""
        return self.key.endswith("Degc")

    def as_data(self) -> dict[str, object]:
        """Return what the page's script needs to read the field."""
        return {
            "name": self.name,
            "key": self.key,
            "symbol": self.symbol,
            "isRequired": self.is_required,
            "isTemperature": self.is_temperature,
        }


FIELDS: tuple[Field, ...] = (
    Field(
        "rating",
        "ratedA",
        "Rating",
        "A",
        missing="Type the rating on its handle.",
        keyboard="numeric",
    ),
    Field(
        "ambient",
        "ambientDegc",
        "Ambient air",
        "°F",
        remark="before the panel",
        missing="Type the air before the panel.",
    ),
    Field(
        "device",
        "deviceDegc",
        "Device’s face",
        "°F",
        remark="its front, by camera",
        missing="Type what the camera read on its face.",
    ),
    Field("current", "currentA", "Current", "A", remark="clamped"),
    Field("minutes", "minutes", "Loads on for", "min", remark="if known", keyboard="numeric"),
    Field("termination", "terminationDegc", "Termination", "°F", remark="where its wire ends"),
    Field("conductor", "conductorDegc", "Wire", "°F", remark="a hand’s breadth away"),
    Field("floor", "floorDegc", "Coolest breaker", "°F", remark="of the panel"),
)
NAMES: dict[str, str] = {
    "class": "class",
    "rating": "rating",
    "ambient": "ambient air",
    "device": "device’s face",
    "current": "current",
    "minutes": "minutes",
    "termination": "termination",
    "conductor": "wire",
    "floor": "coolest breaker",
}
"""Field -> the word for it in a sentence that lists what is still needed."""


def classes() -> list[dict[str, object]]:
    """Return the classes in order with the words and ratings that the page offers."""
    return [
        {
            "name": name,
            "word": CLASS_WORDS[name],
            "label": CLASS_LABELS[name][0],
            "stamp": CLASS_LABELS[name][1],
            "meaning": meaning,
            "poles": 2 if name == "main" else 1,
            "ratings": list(MAIN_PICKS if name == "main" else BRANCH_PICKS),
        }
        for name, meaning in DEVICE_CLASSES.items()
    ]


def missing() -> dict[str, str]:
    """Return the sentence beside each field that cannot be left empty."""
    sentences = {field.name: field.missing for field in FIELDS if field.is_required}
    return {"class": "Choose its class.", **sentences}
