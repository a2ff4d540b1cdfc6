"""The cases to act on: each with its words, its place in the band and its panel."""

from __future__ import annotations

from dataclasses import dataclass

from analytics.statistics.figures import DOUBT
from dashboards import theme
from dashboards.pages.parts import Figure
from dashboards.pages.quarter_case_figures import band_figure, panel_figure, plain
from dashboards.pages.quarter_listed import status
from dashboards.pages.quarter_words import class_word, slot_words
from dashboards.quarter_listed import FLAGGED
from dashboards.quarter_records import Case, QuarterRecord, Slot

NOTE_LETTERS = 300
CUT = "… (cut here; cases.csv has all of it)"
MOST_CHANCE = 1.0 / (1.0 + DOUBT)
"""The highest chance told before a recalibration [1]; see `DOUBT`."""
LEAST_TURN = 0.05
"""Chance of a turned verdict from which it is told [1]; chosen."""
LEAST_CHANCE = 0.05
"""Chance of a fault below which no sensible policy flags for it alone [1]; chosen."""


@dataclass(frozen=True)
class CasePart:
    """One case as the page shows it."""

    number: int
    heading: str
    place: str
    verdict: str
    reason: str
    heat: str
    status: str
    next_step: str
    remark: str
    note: str
    facts: tuple[tuple[str, str], ...]
    band: Figure | None
    panel: Figure


def parts(record: QuarterRecord, scale: theme.RiseScale) -> list[CasePart]:
    """Return the cases in the order of the record."""
    return [_part(i, case, record, scale) for i, case in enumerate(record.cases, start=1)]


def _part(number: int, case: Case, record: QuarterRecord, scale: theme.RiseScale) -> CasePart:
    slots = [slot for slot in record.slots if slot.visit_id == case.visit_id]
    points = [point for point in record.drawable_bands if point.reading_id == case.reading_id]
    note = " ".join((case.note or "").split())
    return CasePart(
        number=number,
        heading=f"Panel {case.panel_id}, {slot_words(case.position, case.poles)}",
        place=_place(case),
        verdict=case.verdict,
        reason=case.reason,
        heat=heat_words(case, scale),
        status=next(
            (status(one) for one in record.listed if one.reading_id == case.reading_id), ""
        ),
        next_step=case.next_step,
        remark=_remark(case, slots),
        note=note if len(note) <= NOTE_LETTERS else note[:NOTE_LETTERS] + CUT,
        facts=_facts(case, scale),
        band=band_figure(number, case, points, scale) if points else None,
        panel=panel_figure(number, case, slots, scale),
    )


def case_lines(record: QuarterRecord, scale: theme.RiseScale) -> list[str]:
    """Return the cases for a terminal: the numbers on one line, the reason on the next."""
    return [
        line
        for i, case in enumerate(record.cases, start=1)
        for line in (f"{i:>2}  {_one_line(case, scale)}", f"    {case.reason}")
    ]


def _one_line(case: Case, scale: theme.RiseScale) -> str:
    words = (
        f"{case.inspection_id}, panel {case.panel_id}, {slot_words(case.position, case.poles)}",
        class_word(case.device_class),
        f"load {100 * case.load_fraction:.0f} %",
        f"rise {scale.text(case.rise_k)}",
        f"heat {case.heat_ratio:.1f} times",
        f"chance {theme.chance(case.probability)}"
        + ("" if case.probability >= LEAST_CHANCE else ", flagged for the limit"),
    )
    return theme.printable(" · ".join(words))


def _place(case: Case) -> str:
    named = [
        f"{class_word(case.device_class)}, {case.rated_a:g} A",
        case.inspected_at.date().isoformat(),
        f"inspection {case.inspection_id}",
        f"office {case.office_id}" if case.office_id else "",
        f"inspector {case.inspector_id}" if case.inspector_id else "",
        case.panel_location or "",
    ]
    return " · ".join(word for word in named if word)


def _facts(case: Case, scale: theme.RiseScale) -> tuple[tuple[str, str], ...]:
    facts = [
        ("load", f"{100 * case.load_fraction:.0f} % ({case.current_a:.1f} of {case.rated_a:g} A)"),
        ("rise", scale.text(case.rise_k)),
        ("usual here", f"{plain(case.expected_rise_k, scale)} {_limits(case, scale)}"),
        ("heat for its current", _times(case)),
        ("chance of a fault", _chance(case)),
        *([turn] if (turn := _turn(case)) else []),
    ]
    if case.termination_rise_k is not None:
        facts.insert(2, ("rise at termination", scale.text(case.termination_rise_k)))
    return tuple(facts)


def _chance(case: Case) -> str:
    """Return the chance of a fault; where it is small, say that it is not why it was flagged."""
    words = theme.chance(case.probability)
    if abs(case.probability - MOST_CHANCE) < 0.001:
        return f"{words}, the most that is told"
    if case.probability >= LEAST_CHANCE:
        return words
    return f"{words} by what is usual; it is flagged for the limit"


def _times(case: Case) -> str:
    """Write the heat ratio with its 95 % interval where it has one."""
    low, high = case.heat_ratio_low, case.heat_ratio_high
    ends = "" if low is None or high is None else f" ({max(low, 0.0):.1f} to {high:.1f})"
    return f"{case.heat_ratio:.1f}{ends} times the usual"


def _turn(case: Case) -> tuple[str, str] | None:
    """Say how likely the instruments' errors alone turn the verdict, where that is worth a word."""
    if case.flip_chance is None or case.flip_chance < LEAST_TURN:
        return None
    return "chance that measuring again turns it", theme.chance(case.flip_chance)


def _limits(case: Case, scale: theme.RiseScale) -> str:
    return f"({plain(case.lower_k, scale)} to {plain(case.upper_k, scale)}) {scale.symbol}"


STILL = {"standard": "the panel around it", "main": "the panel around it"}


def heat_words(case: Case, scale: theme.RiseScale) -> str:
    """Part the rise into what comes with the panel and what the device's own current brings.

    The two add up as shown; nothing where the current brings nothing that can be told apart.
    """
    usual_k = case.usual_load_k
    if usual_k is None or not usual_k > 0 or not case.heat_ratio > 0:
        return ""
    whole, own = round(scale.shown(case.rise_k)), round(scale.shown(case.heat_ratio * usual_k))
    if not 0 < own <= whole:
        return ""
    usual = scale.shown(usual_k)
    rest = STILL.get(case.device_class, "the panel and its electronics")
    unit = f"{theme.GAP}{scale.symbol}"
    return (
        f"Of its {theme.number(whole)}{unit}, {theme.number(whole - own)} come from {rest}; its "
        f"own current heats it {theme.number(own)}{unit} where about "
        f"{usual:.{1 if usual < 10 else 0}f} is usual: {case.heat_ratio:.1f} times."
    )


def _remark(case: Case, slots: list[Slot]) -> str:
    """Say what else may heat it: the leg that was not clamped, or a flagged neighbour."""
    leg = ""
    if case.poles > 1 and "other leg" not in case.next_step:
        leg = "Its heat is set against the leg that was clamped; the other may carry more."
    near = _near(case, slots)
    return " ".join(one for one in (leg, near) if one)


def _near(case: Case, slots: list[Slot]) -> str:
    """Say which neighbour is flagged too."""
    if case.position == 0:
        return ""
    after = case.position + 2 * max(case.poles, 1)
    near = [
        slot
        for slot in slots
        if slot.verdict in FLAGGED
        and slot.position > 0
        and (slot.position + 2 * max(slot.poles, 1) == case.position or slot.position == after)
    ]
    if not near:
        return ""
    names = " and ".join(slot_words(slot.position, slot.poles) for slot in near)
    return f"Its neighbour in {names} is flagged too: the hotter of them may be heating the other."
