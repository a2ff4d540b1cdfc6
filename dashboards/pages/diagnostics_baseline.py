"""What the baseline knows of every class, poles and channel, and from how much."""

from __future__ import annotations

from collections.abc import Sequence

from analytics.columns import CLASS_WORDS
from analytics.settings import BaselineSettings
from dashboards import theme
from dashboards.diagnostics import LEAST_COUNT
from dashboards.diagnostics_records import NORMAL_95, DiagnosticsRecord, Group
from dashboards.figures import estimate
from dashboards.pages.diagnostics_words import (
    Card,
    Section,
    around,
    decimal,
    group_words,
    most,
    order,
)
from dashboards.pages.parts import Table, count, figure, listed, table

CHANNELS = {
    "face": "Face of the device",
    "termination": "Termination",
    "conductor": "Wire, a hand’s breadth away",
}
ASKS = (
    "How many readings stand behind each class, how far it rises with no load and at rating, and "
    "how wide healthy ones scatter."
)
EFFECTIVE = (
    "Effective readings are the number of readings at full rating, with all else known, that would "
    "pin the load’s rise as firmly beyond the prior; light loads and odd readings count for little."
)


def section(record: DiagnosticsRecord, scale: theme.RiseScale) -> Section:
    """Return the section; where nothing was fitted it says so."""
    heading = "What the baseline knows"
    if not record.groups:
        return Section(
            "baseline", heading, ASKS, "No baseline has been fitted yet: run loadrise fit."
        )
    cards = [_card(channel, record, scale) for channel in CHANNELS]
    exponent = _exponent_card(record)
    return Section("baseline", heading, ASKS, _answer(record), (*filter(None, cards), exponent))


def _answer(record: DiagnosticsRecord) -> str:
    face = [group for group in record.groups if group.channel == "face"]
    face.sort(key=lambda group: (order(group.device_class), group.is_multi_pole))
    taught = [group for group in face if not group.is_prior_only]
    met = {group.device_class for group in taught}
    unmet = sorted({group.device_class for group in face} - met, key=order)
    idle = [group for group in taught if group.prior_share > 0.5]
    words = [_extent(taught), EFFECTIVE]
    if unmet:
        names = listed([CLASS_WORDS.get(name, name) for name in unmet])
        words.append(f"No clamped reading of {names}: there the prior speaks alone.")
    if idle:
        names = listed([group_words(g.device_class, g.is_multi_pole) for g in idle])
        words.append(
            f"For {names} only the rise with no load is learned; at rating it is the prior."
        )
    return " ".join(words)


def _extent(taught: Sequence[Group]) -> str:
    if not taught:
        return "No clamped reading has taught this baseline: every line is the prior alone."
    total = sum(group.reading_count for group in taught)
    best = max(taught, key=lambda group: group.effective_count)
    return (
        f"{count(total, 'clamped reading')} taught the face’s baseline; the firmest class is "
        f"{group_words(best.device_class, best.is_multi_pole)} with {best.effective_count:,.0f} "
        f"effective of {count(best.reading_count, 'reading')}."
    )


def _card(channel: str, record: DiagnosticsRecord, scale: theme.RiseScale) -> Card | None:
    groups = sorted(
        (group for group in record.groups if group.channel == channel),
        key=lambda group: (order(group.device_class), group.is_multi_pole),
    )
    if not groups:
        return None
    taught = [group for group in groups if not group.is_prior_only]
    if not taught:
        sentence = "Nothing was read here yet: the baseline is the prior alone."
        return Card(CHANNELS[channel], None, sentence)
    sentence = _sentence(taught)
    picture = estimate.figure([_point(group, scale) for group in taught], scale.symbol)
    made = figure(f"baseline-{channel}", sentence, picture, _table(groups, scale))
    return Card(CHANNELS[channel], made, tables=(_slopes(groups),))


def _sentence(taught: Sequence[Group]) -> str:
    start = "The load’s rise at rating: dot and 95 % interval over the prior’s interval in grey"
    thin = [g for g in taught if g.effective_count < LEAST_COUNT]
    if not thin:
        return f"{start}, effective readings beside each name."
    names = listed(most([group_words(g.device_class, g.is_multi_pole) for g in thin]))
    return f"{start}, effective readings beside each name. Under {LEAST_COUNT} of them: {names}."


def _point(group: Group, scale: theme.RiseScale) -> estimate.EstimatePoint:
    name = group_words(group.device_class, group.is_multi_pole)
    half, prior = NORMAL_95 * group.gain_k_se, group.prior.gain_k
    ends = (group.gain_k - half, group.gain_k + half)
    wide = (prior.mean - NORMAL_95 * prior.sd, prior.mean + NORMAL_95 * prior.sd)
    low, high, prior_low, prior_high = (
        round(scale.shown(max(end, 0.0)), 2) for end in (*ends, *wide)
    )
    words = (
        f"{name}: {_rise(group.gain_k, scale)} at rating "
        f"({_ends(group.gain_k, group.gain_k_se, scale)}), "
        f"{group.effective_count:,.0f} effective of {count(group.reading_count, 'reading')}"
    )
    return estimate.EstimatePoint(
        label=f"{name}  <b>{group.effective_count:,.0f}</b>",
        value=round(scale.shown(group.gain_k), 2),
        low=low,
        high=high,
        prior_low=prior_low,
        prior_high=prior_high,
        is_prior=group.prior_share > 0.5,
        words=words,
    )


def _rise(value: float, scale: theme.RiseScale) -> str:
    return f"{decimal(scale.shown(value))}{theme.GAP}{scale.symbol}"


def _ends(value: float, error: float, scale: theme.RiseScale) -> str:
    return around(scale.shown(value), scale.factor * error)


def _table(groups: Sequence[Group], scale: theme.RiseScale) -> Table:
    headers = (
        "class", "rests on", "readings", "effective", "prior’s share", "rise with no load",
        "95 % interval", "load’s rise at rating", "95 % interval", "spread at 20 %", "at 50 %",
        "at 80 % of load",
    )  # fmt: skip
    rows = [
        (
            group_words(group.device_class, group.is_multi_pole),
            _rests_on(group),
            f"{group.reading_count:,}",
            f"{group.effective_count:,.0f}",
            theme.share(group.prior_share),
            decimal(scale.shown(group.offset_k)),
            _ends(group.offset_k, group.offset_k_se, scale),
            decimal(scale.shown(group.gain_k)),
            _ends(group.gain_k, group.gain_k_se, scale),
            decimal(scale.shown(group.spread_20_k)),
            decimal(scale.shown(group.spread_50_k)),
            decimal(scale.shown(group.spread_80_k)),
        )
        for group in sorted(groups, key=lambda group: group.is_prior_only)
    ]
    return table(f"Rises and spreads in {scale.symbol}", headers, rows, text_columns=2)


def _rests_on(group: Group) -> str:
    if group.is_prior_only:
        return "prior alone"
    return "prior at rating" if group.prior_share > 0.5 else "readings"


def _slopes(groups: Sequence[Group]) -> Table:
    headers = ("class", "floor", "above and below", "across", "main above")
    rows = [
        (
            group_words(group.device_class, group.is_multi_pole),
            *(
                f"{decimal(value, 2)} ± {decimal(NORMAL_95 * error, 2)}"
                for value, error in (
                    (group.floor_slope, group.floor_slope_se),
                    (group.neighbour_slope, group.neighbour_slope_se),
                    (group.across_slope, group.across_slope_se),
                    (group.main_slope, group.main_slope_se),
                )
            ),
        )
        for group in sorted(groups, key=lambda group: group.is_prior_only)
    ]
    return table("Slopes: degrees per degree of the panel’s floor and of neighbours", headers, rows)


def _exponent_card(record: DiagnosticsRecord) -> Card:
    settings = BaselineSettings()
    found = {group.channel: (group.exponent, group.exponent_sd) for group in record.groups}
    rows = [
        (
            channel,
            decimal(value, 2),
            "–" if error is None else around(value, error, 2),
            around(settings.exponent.mean, settings.exponent.sd, 2),
        )
        for channel, (value, error) in found.items()
    ]
    headers = ("channel", "exponent", "95 % interval", "prior")
    made = table("Exponent of the load", headers, rows)
    words = _exponent_words({channel: value for channel, (value, _) in found.items()})
    return Card("How the rise grows with load", None, words, (made,))


def _exponent_words(found: dict[str, float]) -> str:
    low, high = BaselineSettings().exponent_usual
    start = f"The face’s rise grows as load to the power {decimal(found.get('face'), 2)}"
    off = [channel for channel, value in found.items() if not low <= value <= high]
    if not off:
        return f"{start}; every channel lies in the usual {low:g} to {high:g}."
    return (
        f"{start}. Outside the usual {low:g} to {high:g}: {listed(off)}; look for a unit or a "
        "clamp that is off."
    )
