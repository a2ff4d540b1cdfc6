"""A past verdict told again from the store: words as given, numbers, policy, baseline, data."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any

from analytics.columns import VERDICT_WORDS, slot_word
from analytics.errors import NotEnoughDataError, UsageError
from analytics.history.policies import kept_policy
from analytics.judging import draw_verdicts
from analytics.warehouse import Warehouse

_COLUMNS = (
    "screening_id", "reading_id", "verdict", "reason", "next_step", "probability", "heat_ratio",
    "expected_rise_k", "lower_k", "upper_k", "rise_k", "standard_residual", "terminal_residual_k",
    "smallest_ratio_seen", "is_recheck", "is_current", "inspected_at", "device_class", "current_a",
    "rated_a", "screened_at", "policy_version", "baseline_version", "data_hash", "program_version",
)  # fmt: skip

KELVIN_IN_DEGF = 1.8
"""A difference of one kelvin in °F [°F/K]; exact."""


@dataclass(frozen=True)
class PastVerdict:
    """One verdict as it was given, and what it rests on. Rises in K, chances and ratios [1]."""

    screening_id: int
    reading_id: int
    verdict: str
    reason: str
    next_step: str
    probability: float | None
    heat_ratio: float | None
    expected_rise_k: float | None
    lower_k: float | None
    upper_k: float | None
    rise_k: float | None
    standard_residual: float | None
    terminal_residual_k: float | None
    smallest_ratio_seen: float | None
    is_recheck: bool
    is_current: bool
    inspected_at: dt.datetime
    device_class: str
    current_a: float | None
    rated_a: float
    screened_at: dt.datetime
    policy_version: str
    baseline_version: str
    data_hash: str
    program_version: str


@dataclass(frozen=True)
class Explanation:
    """The verdict asked about, the policy it was given under, and the others of the same device.

    `verdict_again` is what the stored numbers and the stored policy give now.
    """

    device: str
    given: PastVerdict
    verdict_again: str
    policy_text: str
    others: tuple[PastVerdict, ...]
    last_screening_id: int

    @property
    def is_reproduced(self) -> bool:
        """Whether numbers and policy give the same verdict again."""
        return self.verdict_again == self.given.verdict

    def lines(self, unit: str = "degC", *, has_policy: bool = True) -> list[str]:
        """Return it in plain words: the same store gives the same words, byte for byte.

        Rises are differences in °F with `degF`, else in K; the policy's text with `has_policy`.
        """
        one = self.given
        policy = [
            "",
            f"The policy {one.policy_version}, as kept:",
            *(f"  {line}" for line in self.policy_text.splitlines()),
        ]
        return [
            f"{self.device}, scanned {one.inspected_at:%Y-%m-%d %H:%M}",
            f"{VERDICT_WORDS[one.verdict].capitalize()}: {one.reason} {one.next_step}",
            "",
            *_numbers(one, unit),
            "",
            f"Given by screening {one.screening_id} on {_day(one.screened_at)}, policy "
            f"{one.policy_version}, baseline {one.baseline_version}, data {one.data_hash}, "
            f"program {one.program_version}.",
            self._again(),
            *_others(self.others),
            *(policy if has_policy else []),
        ]

    def _again(self) -> str:
        if self.is_reproduced:
            return "Judged again from the stored numbers by the stored policy: the same verdict."
        return (
            "Judged again from the stored numbers by the stored policy: "
            f"{VERDICT_WORDS[self.verdict_again]}; "
            "this version of Loadrise draws that line otherwise."
        )


def explain(
    warehouse: Warehouse,
    inspection_id: str,
    panel_id: str,
    position: int,
    screening_id: int | None = None,
) -> Explanation:
    """Return the verdict that stood for a device after a screening, by default the last one.

    Raises UsageError for a screening that never was, NotEnoughDataError where the history holds no
    verdict of the device.
    """
    last = warehouse.fetch("select coalesce(max(screening_id), 0) from records.screening")[0][0]
    if screening_id is not None and screening_id > last:
        raise UsageError(f"There is no screening {screening_id}; the last one is {last}.")
    found = [
        PastVerdict(**dict(row))
        for row in _history(warehouse, inspection_id, panel_id, position)
        if screening_id is None or row["screening_id"] <= screening_id
    ]
    device = f"{inspection_id}, panel {panel_id}, slot {slot_word(position)}"
    if not found:
        raise NotEnoughDataError(
            f"The history holds no verdict of {device}.",
            _unknown(warehouse, inspection_id, panel_id, position),
        )
    policy, text = kept_policy(warehouse, found[0].policy_version)
    warehouse.execute("drop table if exists judging.judgement")
    key = {"screening_id": found[0].screening_id, "reading_id": found[0].reading_id}
    rows = warehouse.frame("marts.verdict_inputs", **key)
    warehouse.put("judging.judgement", {name: rows[name] for name in rows.columns})
    draw_verdicts(warehouse, policy)
    again = warehouse.fetch("select verdict from judging.verdict")[0][0]
    return Explanation(device, found[0], str(again), text, tuple(found[1:]), int(last))


def _history(
    warehouse: Warehouse, inspection_id: str, panel_id: str, position: int
) -> list[dict[str, Any]]:
    rows = warehouse.frame(
        "marts.verdict_history",
        inspection_id=inspection_id,
        panel_id=panel_id,
        position=position,
    )
    plain = rows.astype(object).where(rows.notna(), None)
    return [{name: row[name] for name in _COLUMNS} for row in plain.to_dict("records")]


def _unknown(warehouse: Warehouse, inspection_id: str, panel_id: str, position: int) -> str:
    """Say which of visit, panel and slot is not in the store, and what is written nearly so."""
    for name, value, where in (
        ("inspection_id", inspection_id, {}),
        ("panel_id", panel_id, {"inspection_id": inspection_id}),
    ):
        held = " and ".join(["true", *(f"{key} = ${key}" for key in where)])
        found = warehouse.fetch(
            f"select distinct {name} from records.reading where {held} "
            f"and lower({name}) = lower($value) order by 1",
            {**where, "value": value},
        )
        names = [str(row[0]) for row in found]
        word = "inspection" if name == "inspection_id" else f"panel of {inspection_id}"
        if value not in names:
            alike = f" There is {names[0]}; names are taken letter for letter." if names else ""
            return f"No {word} is called {value}.{alike}"
    slots = warehouse.fetch(
        "select distinct position from records.reading where inspection_id = $inspection "
        "and panel_id = $panel order by 1",
        {"inspection": inspection_id, "panel": panel_id},
    )
    words = [slot_word(int(row[0])) for row in slots]
    if slot_word(position) in words:
        return "It has a reading; verdicts are kept from the first screening on."
    return f"That panel was read at slots {', '.join(words)}."


def _numbers(one: PastVerdict, unit: str) -> list[str]:
    current = "no current" if one.current_a is None else f"{one.current_a:g} A of {one.rated_a:g} A"
    rows = [
        ("current", current),
        ("rise", _rise(one.rise_k, unit)),
        ("expected rise", _rise(one.expected_rise_k, unit)),
        ("healthy 95 %", f"{_rise(one.lower_k, unit)} to {_rise(one.upper_k, unit)}"),
        ("heat ratio", _ratio(one.heat_ratio)),
        ("chance of a fault", _chance(one.probability)),
        ("termination over usual", _rise(one.terminal_residual_k, unit)),
        ("smallest ratio seen", _ratio(one.smallest_ratio_seen)),
    ]
    return [f"  {name + ':':<24}{text}" for name, text in rows]


def _rise(value: float | None, unit: str) -> str:
    """Write a rise [K]: a difference, never plus 32."""
    if value is None:
        return "–"
    return f"{KELVIN_IN_DEGF * value:.1f} °F" if unit == "degF" else f"{value:.1f} K"


def _ratio(value: float | None) -> str:
    return "–" if value is None else f"{value:.2f}"


def _chance(value: float | None) -> str:
    return "–" if value is None else f"{100 * value:.1f} %"


def _others(others: tuple[PastVerdict, ...]) -> list[str]:
    if not others:
        return ["It is the first verdict of this device at this visit."]
    return [
        "Before it:",
        *(
            f"  screening {one.screening_id}, {_day(one.screened_at)}, policy "
            f"{one.policy_version}: {VERDICT_WORDS[one.verdict]}. {one.reason}"
            for one in others
        ),
    ]


def _day(moment: dt.datetime) -> str:
    """Return a day in universal time, so that the words do not depend on where they are read."""
    return f"{moment.astimezone(dt.UTC):%Y-%m-%d}"
