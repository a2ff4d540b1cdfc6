"""Fit, calibrate, and record a baseline with the data it came from."""

from __future__ import annotations

import hashlib
import json
import math
from dataclasses import asdict, dataclass
from typing import Any

from analytics import __version__, columns
from analytics.baseline import equations as eq
from analytics.baseline.calibrate import calibrate
from analytics.baseline.fit import Fitted, prepare
from analytics.baseline.measures import renew_measures
from analytics.baseline.state import CHANNELS
from analytics.baseline.whole import run
from analytics.inforce import BASELINE_TABLES, read_version
from analytics.notices import Notice
from analytics.settings import BaselineSettings, as_record
from analytics.statistics.mixture import Mixture
from analytics.warehouse import Warehouse


@dataclass(frozen=True)
class ClassLine:
    """One group of the baseline: gains in K at rating, spreads in K, counts of readings."""

    channel: str
    device_class: str
    is_multi_pole: bool
    reading_count: int
    offset_k: float
    gain_k: float
    gain_error_k: float
    noise_k: float
    noise_share: float


@dataclass(frozen=True)
class BaselineSummary:
    """What was fitted, from how much, in how many passes; exponents' errors [1] by channel."""

    baseline_version: str
    reading_count: int
    exponent: float
    exponent_errors: dict[str, float]
    fault_share: float
    passes: int
    classes: tuple[ClassLine, ...]
    notices: tuple[Notice, ...]

    @property
    def exponent_error(self) -> float:
        """Standard error of the face's exponent [1]."""
        return self.exponent_errors["face"]

    def lines(self) -> list[str]:
        """Return the summary in plain words."""
        head = [
            f"Baseline {self.baseline_version} from {self.reading_count:,} clamped temperatures, "
            f"{self.passes} passes.",
            f"Load-driven rise grows as load^{self.exponent:.2f} "
            f"(± {1.96 * self.exponent_error:.2f}), face of the device.",
        ]
        return head + [_words(c) for c in self.classes] + [n.sentence for n in self.notices]


def _words(line: ClassLine) -> str:
    poles = "two poles" if line.is_multi_pole else "one pole"
    return (
        f"  {line.device_class} ({poles}, {line.channel}): {line.gain_k:.1f} K at rating "
        f"(± {1.96 * line.gain_error_k:.1f}), {line.offset_k:+.1f} K with no load; spread "
        f"{line.noise_k:.1f} K and {100 * line.noise_share:.0f} % of the load's rise; "
        f"{line.reading_count:,} readings"
    )


def fit(warehouse: Warehouse, settings: BaselineSettings | None = None) -> BaselineSummary:
    """Fit the baseline on all readings in the store and put it in force in one transaction.

    Where nothing was clamped the baseline is the priors', and says so. Raises NotConvergedError
    with the passes where the fit does not settle; the earlier baseline then stays in force.
    """
    chosen = settings or BaselineSettings()
    with warehouse.transaction():
        renew_measures(warehouse, chosen)
    count, floor_k = prepare(warehouse, chosen)
    fitted = run(warehouse, chosen)
    mixtures = calibrate(warehouse, fitted.effects.variances.visit, chosen.tuning)
    summary = _summary(warehouse, fitted, mixtures, chosen, count)
    with warehouse.transaction():
        for table in BASELINE_TABLES:
            warehouse.copy(f"fitting.{table}", f"baseline.{table}")
        _store(warehouse, fitted, summary, chosen, floor_k)
    return summary


def take_up(warehouse: Warehouse) -> tuple[str, dict[str, Any]]:
    """Bring the baseline in force to the work tables; return its version and parameters.

    Raises NotEnoughDataError where none has been fitted.
    """
    found = read_version(warehouse, "records.baseline_version")
    for table in BASELINE_TABLES:
        warehouse.copy(f"baseline.{table}", f"fitting.{table}")
    return found


def _data_hash(warehouse: Warehouse) -> str:
    found = warehouse.fetch(
        "select count(*), coalesce(bit_xor(content_hash), 0) from records.reading where is_current"
    )
    return hashlib.sha256(repr(found).encode()).hexdigest()[:16]


def _settings_hash(settings: BaselineSettings) -> str:
    text = json.dumps(as_record(settings), sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def _summary(
    warehouse: Warehouse,
    fitted: Fitted,
    mixtures: dict[str, Mixture],
    settings: BaselineSettings,
    count: int,
) -> BaselineSummary:
    key = _data_hash(warehouse) + _settings_hash(settings) + __version__
    groups = fitted.groups
    counts = {s.group: s.reading_count for s in fitted.sums}
    lines = tuple(
        ClassLine(
            groups.channel[g],
            groups.device_class[g],
            groups.is_multi_pole[g],
            counts.get(g, 0),
            float(groups.coefficients[g, 0]),
            float(groups.coefficients[g, 1]),
            float(groups.standard_error[g, 1]),
            float(groups.noise_k[g]),
            float(groups.noise_share[g]),
        )
        for g in range(groups.count)
        if counts.get(g, 0)
    )
    return BaselineSummary(
        baseline_version="b" + hashlib.sha256(key.encode()).hexdigest()[:10],
        reading_count=count,
        exponent=groups.exponent["face"],
        exponent_errors=_exponent_errors(fitted, settings),
        fault_share=mixtures["one_pole"].fault_share,
        passes=len(fitted.history),
        classes=lines,
        notices=_notices(lines, groups.exponent["face"], settings),
    )


def _exponent_errors(fitted: Fitted, settings: BaselineSettings) -> dict[str, float]:
    """Return each channel's standard error of the exponent [1], with what the floor bends it by."""
    own = {
        channel: eq.exponent_error(fitted.groups, fitted.sums, channel, settings.exponent.sd)
        for channel in CHANNELS
    }
    return {channel: math.hypot(one, settings.exponent_bend) for channel, one in own.items()}


def _notices(
    lines: tuple[ClassLine, ...], exponent: float, settings: BaselineSettings
) -> tuple[Notice, ...]:
    notices = [
        Notice(
            "few_readings",
            f"{c.device_class} ({c.channel}) has {c.reading_count} readings, 30 are wanted: the "
            "prior speaks with them.",
            {"device_class": c.device_class, "count": c.reading_count},
        )
        for c in lines
        if c.reading_count < 30
    ]
    notices += _unmet_notices(lines)
    low, high = settings.exponent_usual
    if not low <= exponent <= high:
        notices.append(
            Notice(
                "exponent_unusual",
                f"The exponent {exponent:.2f} lies outside {low}–{high}: look for a unit or a "
                "clamp that is off.",
                {"exponent": exponent},
            )
        )
    return tuple(notices)


def _unmet_notices(lines: tuple[ClassLine, ...]) -> list[Notice]:
    """Name the classes that no clamped reading has taught."""
    unmet = [c for c in columns.DEVICE_CLASSES if c not in {x.device_class for x in lines}]
    if not unmet:
        return []
    names = ", ".join(unmet)
    sentence = f"No clamped reading of {names}: there the baseline is the prior alone."
    return [Notice("prior_only", sentence, {"device_classes": unmet})]


def _store(
    warehouse: Warehouse,
    fitted: Fitted,
    summary: BaselineSummary,
    settings: BaselineSettings,
    floor_k: float,
) -> None:
    parameters: dict[str, Any] = {
        "visit_variance": fitted.effects.variances.visit,
        "tuning": settings.tuning,
        "floor_k_default": floor_k,
        "exponent": fitted.groups.exponent,
        "exponent_sd": summary.exponent_error,
        "exponent_sds": summary.exponent_errors,
        "variances": asdict(fitted.effects.variances),
        "classes": [asdict(line) for line in summary.classes],
    }
    warehouse.execute(
        "insert into records.baseline_version values ($version, current_timestamp, $data, "
        "$settings, $program, $parameters)",
        {
            "version": summary.baseline_version,
            "data": _data_hash(warehouse),
            "settings": _settings_hash(settings),
            "program": __version__,
            "parameters": json.dumps(parameters),
        },
    )
