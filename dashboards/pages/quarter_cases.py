"""The cases to act on: each with its words, its place in the band and its panel."""

from __future__ import annotations

from dataclasses import dataclass

from analytics.columns import VERDICTS
from dashboards import theme
from dashboards.figures import band, panel
from dashboards.pages.parts import Figure, Table, count, figure, table
from dashboards.pages.quarter_listed import status
from dashboards.pages.quarter_words import class_word, slot_words
from dashboards.quarter_listed import FLAGGED
from dashboards.quarter_records import BandPoint, Case, QuarterRecord, Slot

NOTE_LETTERS = 300
CUT = "… (cut here; cases.csv has all of it)"
LEAST_CHANCE = 0.05
"""Chance of a fault below which no sensible policy flags for it alone [1]; chosen."""
TABLE_LOADS = (0.2, 0.4, 0.6, 0.8, 1.0)


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
        band=_band(number, case, points, scale) if points else None,
        panel=_panel(number, case, slots, scale),
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
        f"chance {_chance(case)}",
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
        ("usual here", f"{_plain(case.expected_rise_k, scale)} {_limits(case, scale)}"),
        ("heat for its current", f"{case.heat_ratio:.1f} times the usual"),
        ("chance of a fault", _chance(case)),
    ]
    if case.termination_rise_k is not None:
        facts.insert(2, ("rise at termination", scale.text(case.termination_rise_k)))
    return tuple(facts)


def _chance(case: Case) -> str:
    """Return the chance of a fault; where it is small, say that it is not why it was flagged."""
    words = theme.chance(case.probability)
    if case.probability >= LEAST_CHANCE:
        return words
    return f"{words} by what is usual; it is flagged for the limit"


def _termination(case: Case, scale: theme.RiseScale) -> str:
    if case.termination_rise_k is None:
        return ""
    return f", its termination {scale.text(case.termination_rise_k)}"


def _plain(rise_k: float, scale: theme.RiseScale) -> str:
    return theme.number(scale.shown(rise_k))


def _limits(case: Case, scale: theme.RiseScale) -> str:
    return f"({_plain(case.lower_k, scale)} to {_plain(case.upper_k, scale)}) {scale.symbol}"


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
    """Say where a neighbour is flagged too, since one may heat the other."""
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


def _band(number: int, case: Case, points: list[BandPoint], scale: theme.RiseScale) -> Figure:
    shape = band.BandShape(
        [round(100 * p.load_fraction, 1) for p in points],
        *(
            [round(scale.shown(value), 2) for value in values]
            for values in (
                [p.expected_rise_k for p in points],
                [p.lower_k for p in points],
                [p.upper_k for p in points],
            )
        ),
    )
    sentence = (
        f"At {100 * case.load_fraction:.0f} % load such a device in this panel usually rises "
        f"{_plain(case.lower_k, scale)} to {scale.text(case.upper_k)} (19 healthy ones in 20); "
        f"this one rose {scale.text(case.rise_k)}{_termination(case, scale)}."
    )
    reading = band.ReadingPoint(
        round(100 * case.load_fraction, 1),
        round(scale.shown(case.rise_k), 2),
        round(scale.shown(case.expected_rise_k), 2),
        sentence,
        case.verdict,
    )
    return figure(
        f"band-{number}",
        sentence,
        band.figure(shape, reading, scale.symbol),
        _band_table(case, points, scale),
    )


def _band_table(case: Case, points: list[BandPoint], scale: theme.RiseScale) -> Table:
    shown = [p for p in points if any(abs(p.load_fraction - x) < 1e-9 for x in TABLE_LOADS)]
    rows = [
        (
            f"{100 * p.load_fraction:.0f} %",
            _plain(p.expected_rise_k, scale),
            _plain(p.lower_k, scale),
            _plain(p.upper_k, scale),
        )
        for p in shown
    ]
    rows.append(
        (
            f"{100 * case.load_fraction:.0f} %, this one: {_plain(case.rise_k, scale)}",
            _plain(case.expected_rise_k, scale),
            _plain(case.lower_k, scale),
            _plain(case.upper_k, scale),
        )
    )
    headers = ("load", "usual rise", "lower end", "upper end")
    return table(f"Usual rise by load, {scale.symbol}", headers, rows)


def _panel(number: int, case: Case, slots: list[Slot], scale: theme.RiseScale) -> Figure:
    flagged = sum(slot.verdict in FLAGGED for slot in slots)
    sentence = (
        f"Rise of each device in {scale.symbol}, odd slots left and even right: "
        f"{count(len(slots), 'device')} read, {flagged} flagged; "
        f"{slot_words(case.position, case.poles)} outlined."
    )
    boxes = [_box(slot, case, scale) for slot in slots]
    return figure(
        f"panel-{number}", sentence, panel.figure(boxes), _panel_table(case, slots, scale)
    )


def _box(slot: Slot, case: Case, scale: theme.RiseScale) -> panel.SlotBox:
    load = "" if slot.load_fraction is None else f" at {100 * slot.load_fraction:.0f} % load"
    twice = f"; read {slot.reading_count} times" if slot.reading_count > 1 else ""
    return panel.SlotBox(
        position=slot.position,
        poles=slot.poles,
        title=f"{slot.rated_a:g} A {class_word(slot.device_class)}",
        rise=_plain(slot.rise_k, scale),
        verdict=slot.verdict,
        words=(
            f"{slot_words(slot.position, slot.poles)}: rise {scale.text(slot.rise_k)}{load}; "
            f"{VERDICTS[slot.verdict]}{twice}"
        ),
        is_case=slot.position == case.position,
    )


def _panel_table(case: Case, slots: list[Slot], scale: theme.RiseScale) -> Table:
    rows = [
        (
            ("main" if slot.position == 0 else str(slot.position))
            + (" (this one)" if slot.position == case.position else ""),
            class_word(slot.device_class),
            theme.MARKS[slot.verdict].word,
            f"{slot.rated_a:g} A",
            "–" if slot.load_fraction is None else f"{100 * slot.load_fraction:.0f} %",
            _plain(slot.rise_k, scale),
        )
        for slot in slots
    ]
    headers = ("slot", "device", "verdict", "rating", "load", f"rise, {scale.symbol}")
    return table(f"Devices read in panel {case.panel_id}", headers, rows, text_columns=3)
