"""From many trials to few signals: the false ones are held to a small share in every quarter."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from analytics.statistics.multiplicity import benjamini_hochberg
from analytics.trends.records import CHANGE_SHARE, Signal, Trial, quarter_index
from analytics.trends.sentences import brief, sentence, sureness

FALSE_SHARE = {
    "firm": 0.04,
    "moves": CHANGE_SHARE,
    "camera": 0.1,
    "inspector": 0.05,
    "office": 0.05,
    "make": 0.05,
    "shares": 0.05,
    "protocol": 0.05,
}
"""Share of false signals among those of a family in a quarter [1]; chosen: on a steady fleet a
family then has a false signal in no more than that share of quarters, and all of them together
fewer than one in 40 subject-quarters. A camera that is off harms every reading, so it may be named
sooner."""
ECHO_SHARE = 0.5
"""Share of an inspector's inspections with a camera that is named from which his own change is that
camera's [1]; chosen: the greater part."""


def family(trial: Trial) -> str:
    """Return the family that a trial is judged within."""
    return trial.family if trial.family in FALSE_SHARE else trial.subject


def signals(
    trials: Iterable[Trial], used: Mapping[tuple[str, str, str], float], unit: str = "degF"
) -> list[Signal]:
    """Return the signals of all quarters, the surest of each quarter first.

    Within each quarter and family the procedure of Benjamini and Hochberg; their q-value is the
    chance that goes with the signal. A signal is new where its subject had no such signal the
    quarter before. `used` is the share of inspections with a camera, by (inspector, camera,
    quarter) [1]: an inspector does not repeat what his camera says.
    """
    groups: dict[tuple[str, str], list[Trial]] = {}
    for trial in trials:
        groups.setdefault((trial.quarter, family(trial)), []).append(trial)
    found: list[tuple[Trial, float]] = []
    for (_, name), group in groups.items():
        shares = benjamini_hochberg([one.chance for one in group])
        pairs = zip(group, shares, strict=True)
        found += [(one, float(q)) for one, q in pairs if q <= FALSE_SHARE[name]]
    return _as_signals(_without_echoes(found, used), unit)


def _without_echoes(
    found: list[tuple[Trial, float]], used: Mapping[tuple[str, str, str], float]
) -> list[tuple[Trial, float]]:
    cameras = {
        (one.quarter, one.level_name, one.size > 0)
        for one, _ in found
        if one.subject == "camera" and one.measure == "deviation"
    }
    echoes = {
        (quarter, inspector, is_warm)
        for (inspector, camera, quarter), share in used.items()
        for is_warm in (False, True)
        if share >= ECHO_SHARE and (quarter, camera, is_warm) in cameras
    }
    return [
        (one, chance)
        for one, chance in found
        if one.subject != "inspector"
        or one.measure != "deviation"
        or (one.quarter, one.level_name, one.size > 0) not in echoes
    ]


def _as_signals(found: list[tuple[Trial, float]], unit: str) -> list[Signal]:
    seen = {(_key(one), quarter_index(one.quarter)) for one, _ in found}
    made = [
        Signal(
            subject=one.subject,
            level_name=one.level_name,
            quarter=one.quarter,
            measure=one.measure,
            against=one.against,
            size=one.size,
            low=one.low,
            high=one.high,
            unit=one.unit,
            count=one.count,
            counted=one.counted,
            chance=chance,
            sureness=sureness(chance),
            since=one.since,
            is_new=(_key(one), quarter_index(one.quarter) - 1) not in seen,
            sentence=sentence(one, chance, unit),
            brief=brief(one, unit),
        )
        for one, chance in found
    ]
    return sorted(made, key=lambda s: (s.quarter, s.chance, s.subject, s.level_name, s.measure))


def _key(trial: Trial) -> tuple[str, str, str, str]:
    return trial.subject, trial.level_name, trial.measure, trial.against


def with_users(trials: Iterable[Trial], shares: dict[tuple[str, str], str]) -> list[Trial]:
    """Return the trials, those of cameras with who used them: (camera, quarter) -> words."""
    return [
        replace(one, detail=shares.get((one.level_name, one.quarter), ""))
        if one.subject == "camera" and one.measure == "deviation"
        else one
        for one in trials
    ]
