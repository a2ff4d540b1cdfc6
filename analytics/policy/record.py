"""The firm's thresholds as a record: lines of all classes, and those a class has of its own."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from analytics.policy.limits import NEUTRAL, NEVER, STANDARDS, TUNED, UNCALIBRATED

OwnLine = tuple[str, str, float]
"""A line that a device class has of its own: class, which of `TUNED`, value."""


@dataclass(frozen=True)
class Policy:
    """Where the lines are drawn; shares and ratios [1], lifts [K].

    `own` holds the lines that device classes have of their own, by class and line, each once; what
    a class has none of is that of all classes, see `lines_for`.
    """

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
    own: tuple[OwnLine, ...] = ()

    def numbers(self) -> dict[str, float]:
        """Return every number that holds for all classes."""
        return {key: value for key, value in vars(self).items() if key in NAMES}

    @property
    def own_classes(self) -> tuple[str, ...]:
        """The classes that have a line of their own, in the order of `own`."""
        return tuple(dict.fromkeys(name for name, _, _ in self.own))

    def lines_for(self, device_class: str) -> dict[str, float]:
        """Return the lines of TUNED that a class is judged by, as the macro `line_of` does."""
        own = {key: value for name, key, value in self.own if name == device_class}
        return {key: own.get(key, self.numbers()[f"flag_{key}"]) for key in TUNED}

    def line_parameters(self) -> dict[str, object]:
        """Return the lines of TUNED, of all classes and own, as parameters of `judging.lined`."""
        own = {(name, key): value for name, key, value in self.own}
        shared = {f"flag_{key}": self.numbers()[f"flag_{key}"] for key in TUNED}
        listed = {f"own_{key}": [own.get((c, key)) for c in self.own_classes] for key in TUNED}
        return {**shared, "own_classes": list(self.own_classes), **listed}

    def as_parameters(self) -> dict[str, float]:
        """Return the other thresholds as parameters of the verdict."""
        left_out = {*UNCALIBRATED, *(f"flag_{key}" for key in TUNED)}
        return {key: value for key, value in self.numbers().items() if key not in left_out}

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
        return _named(replace(self, **lines))  # type: ignore[arg-type]

    def with_own(self, own: Iterable[OwnLine]) -> Policy:
        """Return it with these lines in place of all that classes had of their own."""
        return _named(replace(self, own=tuple(sorted(own))))


NAMES = tuple(key for key in Policy.__dataclass_fields__ if key not in ("version", "own"))
"""Every line that holds for all classes."""


def version_of(name: str, numbers: Mapping[str, float], own: tuple[OwnLine, ...]) -> str:
    """Return the version: the name and a digest of the lines; neutral ones do not count."""
    told = [(key, value) for key, value in sorted(numbers.items()) if NEUTRAL.get(key) != value]
    told += [(f"flag.{device_class}.{key}", value) for device_class, key, value in own]
    digest = hashlib.sha256(repr(told).encode()).hexdigest()[:8]
    return f"{name}-{digest}"


def _named(policy: Policy) -> Policy:
    return replace(policy, version=version_of(policy.name, policy.numbers(), policy.own))
