"""The figures of a case: its reading on its class's band, and its panel as two columns of slots."""

from __future__ import annotations

from analytics.columns import VERDICTS
from dashboards import theme
from dashboards.figures import band, panel
from dashboards.pages.parts import Figure, Table, count, figure, table
from dashboards.pages.quarter_words import class_word, slot_words
from dashboards.quarter_listed import FLAGGED
from dashboards.quarter_records import BandPoint, Case, Slot

TABLE_LOADS = (0.2, 0.4, 0.6, 0.8, 1.0)


def plain(rise_k: float, scale: theme.RiseScale) -> str:
    """Write a rise [K] as shown, without its unit."""
    return theme.number(scale.shown(rise_k))


def _termination(case: Case, scale: theme.RiseScale) -> str:
    if case.termination_rise_k is None:
        return ""
    return f", its termination {scale.text(case.termination_rise_k)}"


def band_figure(number: int, case: Case, points: list[BandPoint], scale: theme.RiseScale) -> Figure:
    """Return the reading on the band of its class in its panel."""
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
        f"{plain(case.lower_k, scale)} to {scale.text(case.upper_k)} (19 healthy ones in 20); "
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
            plain(p.expected_rise_k, scale),
            plain(p.lower_k, scale),
            plain(p.upper_k, scale),
        )
        for p in shown
    ]
    rows.append(
        (
            f"{100 * case.load_fraction:.0f} %, this one: {plain(case.rise_k, scale)}",
            plain(case.expected_rise_k, scale),
            plain(case.lower_k, scale),
            plain(case.upper_k, scale),
        )
    )
    headers = ("load", "usual rise", "lower end", "upper end")
    return table(f"Usual rise by load, {scale.symbol}", headers, rows)


def panel_figure(number: int, case: Case, slots: list[Slot], scale: theme.RiseScale) -> Figure:
    """Return the panel with every device that was read."""
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
        rise=plain(slot.rise_k, scale),
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
            plain(slot.rise_k, scale),
        )
        for slot in slots
    ]
    headers = ("slot", "device", "verdict", "rating", "load", f"rise, {scale.symbol}")
    return table(f"Devices read in panel {case.panel_id}", headers, rows, text_columns=3)
