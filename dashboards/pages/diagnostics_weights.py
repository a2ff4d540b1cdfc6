"""How the result changes where clamped rows are weighted for those that were not clamped."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from analytics.columns import CLASS_WORDS
from dashboards import theme
from dashboards.diagnostics_records import DiagnosticsRecord, Fit, Group, WeightsCheck
from dashboards.figures import bins, shift
from dashboards.pages.diagnostics_words import Card, Section, decimal, group_words, order
from dashboards.pages.parts import Table, count, figure, table

WARM_STEP_K = 4.0
"""Width of a band of warmth [K], as marts.diagnostics_clamped has it."""
ASKS = (
    "Warm devices are clamped more often than cool ones. Whether that selection bends the "
    "baseline: the same fit with each row weighted by 1 / share clamped at its warmth."
)


def section(record: DiagnosticsRecord, scale: theme.RiseScale) -> Section:
    """Return the section; where no second fit was made it says why."""
    heading = "With and without weights"
    check = record.weights
    if check.without is None or check.weighted is None:
        trouble = check.trouble or "No second fit was made."
        return Section("weights", heading, ASKS, trouble)
    pairs = _pairs(check.without, check.weighted)
    cards = (
        _clamped_card(check, scale),
        _shift_card("gain", "Rise at rating", pairs, scale, lambda group: group.gain_k),
        _shift_card("offset", "Rise with no load", pairs, scale, lambda group: group.offset_k),
        _flagged_card(check),
    )
    return Section(
        "weights", heading, ASKS, _answer(record, check, pairs, scale), tuple(filter(None, cards))
    )


def _pairs(without: Fit, weighted: Fit) -> list[tuple[Group, Group]]:
    after = {group.key: group for group in weighted.groups}
    taught = [group for group in without.groups if not group.is_prior_only]
    taught.sort(key=lambda group: (order(group.device_class), group.is_multi_pole))
    return [(group, after[group.key]) for group in taught if group.key in after]


def _answer(
    record: DiagnosticsRecord,
    check: WeightsCheck,
    pairs: Sequence[tuple[Group, Group]],
    scale: theme.RiseScale,
) -> str:
    without, weighted = check.without, check.weighted
    if without is None or weighted is None or not pairs:
        return "No class has a clamped reading, so weights change nothing."
    if check.is_same:
        return "All devices of a warmth were clamped alike, so weights change nothing."
    a, b = max(
        (pair for pair in pairs if pair[0].channel == "face"),
        key=lambda pair: abs(pair[1].gain_k - pair[0].gain_k),
    )
    same = len(without.flagged_ids & weighted.flagged_ids)
    words = (
        f"With weights the rise at rating moves most for "
        f"{group_words(a.device_class, a.is_multi_pole)}, from {_rise(a.gain_k, scale)} to "
        f"{_rise(b.gain_k, scale)}; {count(len(weighted.flagged), 'reading')} would be flagged in "
        f"place of {len(without.flagged):,}, {same:,} of them the same. Verdicts rest on the fit "
        "without weights; the store is as it was."
    )
    if {one.policy_version for one in record.used} - {check.policy_version}:
        words += f" Both are judged here by the policy {check.policy_version}."
    return words


def _rise(value: float, scale: theme.RiseScale) -> str:
    return f"{decimal(scale.shown(value))}{theme.GAP}{scale.symbol}"


def _clamped_card(check: WeightsCheck, scale: theme.RiseScale) -> Card:
    rows = check.clamped
    edges = [scale.shown(WARM_STEP_K * row.warm_band) for row in rows]
    labels = [
        f"{edge:.0f}" if row.warm_band else "0" for edge, row in zip(edges, rows, strict=True)
    ]
    shares = [row.clamped_count / row.reading_count for row in rows]
    names = [
        f"from {label}{theme.GAP}{scale.symbol}" if row.warm_band else "coolest"
        for label, row in zip(labels, rows, strict=True)
    ]
    bars = [
        bins.Bin(round(100 * share, 2), f"{name}: {theme.share(share)} of {row.reading_count:,}")
        for share, name, row in zip(shares, names, rows, strict=True)
    ]
    sentence = (
        f"Share clamped by warmth over the panel’s floor: {theme.share(shares[0])} of the coolest, "
        f"{theme.share(shares[-1])} of the warmest."
    )
    body = [
        (name, f"{row.reading_count:,}", f"{row.clamped_count:,}", theme.share(share))
        for name, row, share in zip(names, rows, shares, strict=True)
    ]
    made = table("Share clamped by warmth", ("over the floor", "read", "clamped", "share"), body)
    title = f"rise over the panel’s floor, {scale.symbol}"
    picture = bins.figure(bars, ["", *labels[1:], ""], title, suffix=" %")
    return Card("Who is clamped", figure("clamped", sentence, picture, made))


def _shift_card(
    name: str,
    heading: str,
    pairs: Sequence[tuple[Group, Group]],
    scale: theme.RiseScale,
    value: Callable[[Group], float],
) -> Card | None:
    face = [(a, b) for a, b in pairs if a.channel == "face"]
    if not face:
        return None
    rows = [
        shift.ShiftRow(
            group_words(a.device_class, a.is_multi_pole),
            round(scale.shown(value(a)), 2),
            round(scale.shown(value(b)), 2),
            f"{group_words(a.device_class, a.is_multi_pole)}: {_rise(value(a), scale)} without, "
            f"{_rise(value(b), scale)} with weights",
        )
        for a, b in face
    ]
    changes = [scale.shown(value(b) - value(a)) for a, b in face]
    sentence = (
        f"{heading} of the face: circle without, open diamond with weights; changes from "
        f"{decimal(min(changes), is_signed=True)} to {decimal(max(changes), is_signed=True)}"
        f"{theme.GAP}{scale.symbol}."
    )
    picture = shift.figure(rows, f"{heading.lower()}, {scale.symbol}")
    made = _shift_table(heading, pairs, scale, value)
    return Card(heading, figure(f"weights-{name}", sentence, picture, made))


def _shift_table(
    heading: str,
    pairs: Sequence[tuple[Group, Group]],
    scale: theme.RiseScale,
    value: Callable[[Group], float],
) -> Table:
    body = [
        (
            group_words(a.device_class, a.is_multi_pole),
            a.channel,
            f"{a.reading_count:,}",
            decimal(scale.shown(value(a))),
            decimal(scale.shown(value(b))),
            decimal(scale.shown(value(b) - value(a)), is_signed=True),
        )
        for a, b in pairs
    ]
    headers = ("class", "channel", "readings", "without", "with", "change")
    return table(f"{heading}, {scale.symbol}", headers, body, text_columns=2)


def _flagged_card(check: WeightsCheck) -> Card | None:
    without, weighted = check.without, check.weighted
    if without is None or weighted is None:
        return None
    both = without.flagged_ids & weighted.flagged_ids
    body = []
    for name, words in CLASS_WORDS.items():
        mine = [
            {one.reading_id for one in fit.flagged if one.device_class == name}
            for fit in (without, weighted)
        ]
        if mine[0] or mine[1]:
            numbers = (mine[0], mine[1], mine[0] & mine[1], mine[0] - mine[1], mine[1] - mine[0])
            body.append((words, *(f"{len(one):,}" for one in numbers)))
    sentence = (
        f"{count(len(without.flagged_ids - both), 'reading')} would no longer be flagged and "
        f"{len(weighted.flagged_ids - both):,} would be new. The exponent moves from "
        f"{decimal(without.exponent, 2)} to {decimal(weighted.exponent, 2)}."
    )
    headers = ("class", "without", "with", "both", "only without", "only with")
    made = (table("Readings flagged", headers, body),) if body else ()
    return Card("Flagged readings", None, sentence, made)
