"""Each make, office, camera and inspector beside the others: funnels, and how warm they read."""

from __future__ import annotations

import math

from analytics.trends.records import Point, Standing, quarter_index
from analytics.trends.sentences import over
from dashboards import theme
from dashboards.figures import funnel, offsets
from dashboards.pages import quarter_signals as told
from dashboards.pages.parts import Figure, Table, count, figure, listed, table
from dashboards.pages.quarter_drift import MEASURES, Unit, unit_of
from dashboards.pages.quarter_together import mostly, partner
from dashboards.pages.quarter_words import PLURAL, amount, by_name, left_out, shown_name, span
from dashboards.quarter_records import QuarterRecord
from dashboards.theme import RiseScale

COUNTED = {"flagged": "flagged", "overload": "over the current limit"}
BEYOND = ", beyond the figure"
"""What tables say of an interval that a figure cuts off with an arrow."""
CHECK = {"camera": ": compare the camera", "inspector": ": compare how they read"}


def funnels(subject: str, record: QuarterRecord) -> list[Figure]:
    """Return the funnel of flagged readings, and that of overloads where one is named in it."""
    if record.trends is None:
        return []
    made = []
    for measure in COUNTED:
        rows = [
            one
            for one in record.trends.standings
            if (one.subject, one.measure) == (subject, measure) and one.expected > 0
        ]
        loud = {
            name
            for name, quarter in told.named(record, subject, (measure,), told.OTHERS)
            if quarter == record.quarter
        }
        if len(rows) > 1 and (measure == "flagged" or loud):
            made.append(_funnel(subject, measure, rows, loud, record))
    return made


def year(record: QuarterRecord) -> str:
    """Say which quarters count together: a year only where the store holds one."""
    last = quarter_index(record.quarter)
    held = [one.quarter for one in (record.trends.quarters if record.trends else ())]
    late = [name for name in held if last - 4 < quarter_index(name) <= last]
    return over(min(late, default=record.quarter), record.quarter)


def _funnel(
    subject: str, measure: str, rows: list[Standing], loud: set[str], record: QuarterRecord
) -> Figure:
    rows = sorted(rows, key=lambda one: by_name(one.level_name))
    signalled = {one.level_name for one in told.of_quarter(record) if one.subject == subject}
    shown = [
        funnel.FunnelPoint(
            name=shown_name(subject, one.level_name),
            expected=one.expected,
            ratio=one.ratio,
            low=one.low,
            high=one.high,
            limits=(one.limit_low, one.limit_high) if math.isfinite(one.limit_high) else None,
            is_named=one.level_name in loud,
            words=_funnel_words(subject, measure, one),
            is_told=one.level_name in signalled,
        )
        for one in rows
    ]
    who = listed([shown_name(subject, name) for name in sorted(loud, key=by_name)])
    verb = "stands" if len(loud) == 1 else "stand"
    ending = f"{who} {verb} apart" if loud else "none stands apart more than chance brings"
    outside = [one for one in rows if one.level_name not in loud and _is_outside(one)]
    if outside:
        names = listed([shown_name(subject, one.level_name) for one in outside])
        lies = "lies" if len(outside) == 1 else "lie"
        ending += (
            f"; {names} {lies} beyond the grey, which with "
            f"{count(len(rows), subject, PLURAL[subject])} compared is not yet certain"
        )
    sentence = (
        f"Readings {COUNTED[measure]} {year(record)}, beside the number that the other "
        f"{PLURAL[subject]} would have had on like cases: {ending}. Grey is where one lies that "
        "has as many as the others on such cases."
    )
    cut = {rows[i].level_name for i in funnel.cut(shown)}
    made = _funnel_table(subject, measure, rows, loud, cut)
    drawn = funnel.figure(shown, f"{COUNTED[measure]}: number expected")
    return figure(f"funnel-{subject}-{measure}", sentence, drawn, made)


def _is_outside(one: Standing) -> bool:
    return one.ratio < one.limit_low or one.ratio > one.limit_high


def _funnel_words(subject: str, measure: str, one: Standing) -> str:
    return (
        f"{shown_name(subject, one.level_name)}: {one.hit_count:,} {COUNTED[measure]}, "
        f"{amount(one.expected)} expected, {amount(one.ratio, 2)} times as many "
        f"({span(one.low, one.high, 2)}), {one.judged_count:,} judged"
    )


def _funnel_table(
    subject: str, measure: str, rows: list[Standing], loud: set[str], cut: set[str]
) -> Table:
    headers = (
        subject, "judged", COUNTED[measure], "number expected", "times the expected",
        "95 % interval", "usual for its size (grey)", "share, allowing for few readings", "named",
    )  # fmt: skip
    body = [
        (
            shown_name(subject, one.level_name),
            f"{one.judged_count:,}",
            f"{one.hit_count:,}",
            amount(one.expected),
            amount(one.ratio, 2),
            span(one.low, one.high, 2) + (BEYOND if one.level_name in cut else ""),
            span(one.limit_low, one.limit_high, 2),
            f"{theme.share(one.shrunken)} ({theme.interval(one.shrunken_low, one.shrunken_high)})",
            "yes" if one.level_name in loud else "no",
        )
        for one in rows
    ]
    caption = f"Readings {COUNTED[measure]} by {subject}, quarters of a year together"
    return table(caption, headers, body)


def levels(subject: str, record: QuarterRecord, scale: RiseScale) -> list[Figure]:
    """Return how warm each reads beside the others over a year; none for classes."""
    points = [
        one
        for one in (record.trends.points if record.trends else ())
        if (one.subject, one.quarter) == (subject, record.quarter) and math.isfinite(one.level)
    ]
    if len(points) < 2:
        return []
    points.sort(key=lambda one: by_name(one.level_name))
    loud = {
        name
        for name, quarter in told.named(record, subject, MEASURES, told.OTHERS)
        if quarter == record.quarter
    }
    unit = unit_of(subject, scale)
    rows = [
        offsets.OffsetRow(
            label=shown_name(subject, one.level_name),
            value=unit.factor * one.level,
            low=unit.factor * one.level_ends[0],
            high=unit.factor * one.level_ends[1],
            limit=unit.factor * one.level_limit,
            is_named=one.level_name in loud,
            words=_level_words(subject, one, unit),
        )
        for one in points
    ]
    sentence = _level_sentence(subject, record, sorted(loud, key=by_name), unit)
    if subject != "make":
        sentence += left_out(subject, [one.level_name for one in points], record)
    drawn = offsets.figure(rows, f"{unit.axis} than the others, {unit.symbol}")
    return [figure(f"level-{subject}", sentence, drawn, _level_table(subject, points, loud, unit))]


def _level_words(subject: str, one: Point, unit: Unit) -> str:
    low, high = one.level_ends
    size = amount(unit.factor * one.level, is_signed=True)
    ends = span(unit.factor * low, unit.factor * high)
    return f"{shown_name(subject, one.level_name)}: {size} {unit.symbol} ({ends})"


def beyond(subject: str, record: QuarterRecord) -> list[Point]:
    """Return the levels that lie beyond the grey without being signals: not yet certain."""
    loud = told.named(record, subject, MEASURES, told.OTHERS)
    found = [
        one
        for one in (record.trends.points if record.trends else ())
        if (one.subject, one.quarter) == (subject, record.quarter)
        and abs(one.level) > one.level_limit
        and (one.level_name, one.quarter) not in loud
    ]
    return sorted(found, key=lambda one: by_name(one.level_name))


def beyond_words(
    subject: str, record: QuarterRecord, unit: Unit, where: str = "beyond the grey"
) -> str:
    """Say which levels lie beyond the grey, and that it is not certain yet; else nothing.

    `where` names that place away from the figure.
    """
    found = beyond(subject, record)
    if not found:
        return ""
    told_elsewhere = [one for one in found if subject == "inspector" and partner(one, record)]
    own = [one for one in found if one not in told_elsewhere]
    parts = []
    if own:
        words = listed([_apart(subject, one, unit) + _user(one, record, unit) for one in own])
        compared = sum(
            (one.subject, one.quarter) == (subject, record.quarter) and math.isfinite(one.level)
            for one in (record.trends.points if record.trends else ())
        )
        parts.append(
            f"{words}, {where}; with {count(compared, subject, PLURAL[subject])} compared "
            f"that is not yet certain{CHECK.get(subject, '')}"
        )
    parts += [_with_camera(one, record, unit) for one in told_elsewhere]
    return "; ".join(parts)


def _user(one: Point, record: QuarterRecord, unit: Unit) -> str:
    """Say who mostly read with a camera: neither it nor the person’s thermometer is cleared."""
    if one.subject != "camera":
        return ""
    together = partner(one, record)
    if together:
        use, point = together
        size = f"{amount(abs(unit.factor * point.level))} {unit.symbol}"
        side = "above" if point.level > 0 else "below"
        return (
            f" ({use.inspector}, who used it in {use.count:,} of {use.camera_count:,} inspections, "
            f"reads {size} {side} the others too: the camera, or {use.inspector}’s thermometer for "
            "the air)"
        )
    use_or_none = mostly(one, record)
    if use_or_none is None:
        return ""
    return (
        f" ({use_or_none.inspector} used it in {use_or_none.count:,} of "
        f"{use_or_none.camera_count:,} inspections, so check that thermometer for the air too)"
    )


def _with_camera(one: Point, record: QuarterRecord, unit: Unit) -> str:
    together = partner(one, record)
    assert together
    use = together[0]
    return (
        f"{_apart(one.subject, one, unit)}, which is one finding with camera {use.camera}: "
        f"{use.count:,} of {use.inspector_count:,} inspections were with it"
    )


def _apart(subject: str, one: Point, unit: Unit) -> str:
    name = shown_name(subject, one.level_name)
    size = f"{amount(abs(unit.factor * one.level))} {unit.symbol}"
    if subject == "make":
        return f"{name} runs {size} {'hotter' if one.level > 0 else 'cooler'} than the others"
    return f"{name} reads {size} {'above' if one.level > 0 else 'below'} the others"


def _level_sentence(subject: str, record: QuarterRecord, loud: list[str], unit: Unit) -> str:
    what = (
        "How much hotter each make ran for its current"
        if subject == "make"
        else f"How much warmer each {subject} reads"
    )
    unsure = beyond_words(subject, record, unit)
    if loud:
        ending = f"{listed(loud)} {'differs' if len(loud) == 1 else 'differ'} more than is usual"
    else:
        ending = "none for certain" if unsure else "none differs more than is usual"
    return (
        f"{what} than the others’ median {year(record)}; grey is what is usual: "
        f"{ending}{'; ' + unsure if unsure else ''}."
    )


def _level_table(subject: str, points: list[Point], loud: set[str], unit: Unit) -> Table:
    rows = [
        (
            shown_name(subject, one.level_name),
            f"{one.level_count:,}",
            amount(unit.factor * one.level, is_signed=True),
            span(unit.factor * one.level_ends[0], unit.factor * one.level_ends[1]),
            "yes" if one.level_name in loud else "no",
        )
        for one in points
    ]
    headers = (
        subject, "inspections", f"{unit.axis} than the others, {unit.symbol}", "95 % interval",
        "named",
    )  # fmt: skip
    return table(f"Each {subject} beside the others’ median", headers, rows)
