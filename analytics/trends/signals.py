"""From many trials to few signals: the false ones are held to a small share in every quarter."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from analytics.statistics.multiplicity import benjamini_hochberg
from analytics.trends.records import CHANGE_SHARE, Signal, Trial, Use, quarter_index, quarter_name
from analytics.trends.sentences import brief, sentence, sureness
from analytics.trends.users import by_span, joined

Key = tuple[str, str, str, str]
"""Subject, level, measure, what it is compared with."""

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
LONGEST_GAP = 4
"""Quarters without a test after which a signal is new again [1]; chosen: a year."""


def family(trial: Trial) -> str:
    """Return the family that a trial is judged within."""
    return trial.family if trial.family in FALSE_SHARE else trial.subject


def signals(trials: Iterable[Trial], uses: Iterable[Use], unit: str = "degF") -> list[Signal]:
    """Return the signals of all quarters, the surest of each quarter first.

    Within each quarter and family the procedure of Benjamini and Hochberg; their q-value is the
    chance that goes with the signal. A signal is new where its subject had none that went the same
    way when it was tested last. `uses` tells who read with which camera: what a camera and its user
    cannot be told apart in is one signal.
    """
    trials = list(trials)
    groups: dict[tuple[str, str], list[Trial]] = {}
    for trial in trials:
        groups.setdefault((trial.quarter, family(trial)), []).append(trial)
    found: list[tuple[Trial, float]] = []
    for (_, name), group in groups.items():
        shares = benjamini_hochberg([one.chance for one in group])
        pairs = zip(group, shares, strict=True)
        found += [(one, float(q)) for one, q in pairs if q <= FALSE_SHARE[name]]
    tested: dict[Key, list[int]] = {}
    for one in trials:
        tested.setdefault(_key(one), []).append(quarter_index(one.quarter))
    return _as_signals(joined(found, by_span(uses)), tested, unit)


def _as_signals(
    found: list[tuple[Trial, float]], tested: Mapping[Key, list[int]], unit: str
) -> list[Signal]:
    named: dict[tuple[Key, bool], set[int]] = {}
    for one, _ in found:
        named.setdefault((_key(one), _is_more(one)), set()).add(quarter_index(one.quarter))
    runs = {way: _runs(sorted(set(tested[way[0]])), numbers) for way, numbers in named.items()}
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
            is_new=count == 1,
            sentence=sentence(one, chance, unit),
            brief=brief(one, unit),
            held_since=quarter_name(first),
            held_count=count,
        )
        for one, chance in found
        for first, count in [runs[_key(one), _is_more(one)][quarter_index(one.quarter)]]
    ]
    return sorted(made, key=lambda s: (s.quarter, s.chance, s.subject, s.level_name, s.measure))


def _runs(tested: list[int], named: set[int]) -> dict[int, tuple[int, int]]:
    """Return for each quarter with the signal its first one in a row, and how many they are.

    A quarter in which it could not be tested ends nothing, a year of them does.
    """
    found: dict[int, tuple[int, int]] = {}
    before = -LONGEST_GAP
    for number in tested:
        if number in named:
            held = found.get(before, (number, 0)) if number - before <= LONGEST_GAP else (number, 0)
            found[number] = held[0], held[1] + 1
        before = number
    return found


def _is_more(trial: Trial) -> bool:
    """Tell which way a signal goes: one that turns round is a new one."""
    return trial.size > (1.0 if trial.unit == "ratio" else 0.0)


def _key(trial: Trial) -> Key:
    return trial.subject, trial.level_name, trial.measure, trial.against
