"""The tuning in three sentences and five numbers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from markupsafe import Markup

from analytics.tuning.advice import kept
from analytics.tuning.telling import unreachable
from dashboards import theme
from dashboards.pages.parts import count
from dashboards.pages.quarter_headline import Tile
from dashboards.pages.tuning_choice import in_force, least_cost, shares
from dashboards.pages.tuning_words import ends, lines, money, per_quarter, point, rate

if TYPE_CHECKING:
    from dashboards.tuning import TuningRecord

LARGE_SHARE = 0.1
"""Share of readings out of every policy's reach that the headline tells of [1]; chosen."""


def sentences(record: TuningRecord) -> list[Markup]:
    """Return what to do or what is needed, what it would change, how sure; and chances if off."""
    return [
        _choice(record),
        _change(record),
        _sure(record),
        *_parts(record),
        *_given(record),
        *_chances(record),
        *_reach(record),
    ]


def _chances(record: TuningRecord) -> list[Markup]:
    """Say that stated chances would be mended too, and that this changes no flag."""
    again, lines_now = record.recalibrated.policy, record.proposed
    if again is None:
        return []
    words = Markup(
        "<b>The stated chances are off as well:</b> loadrise recalibrate --same-flags mends them "
        "once the lines are decided. The same devices are flagged then and the same lines proposed"
    )
    if lines_now is None:
        return [words + Markup(".")]
    carried = again.recalibrated(lines_now.stated(lines_now.flag_probability))
    return [
        words
        + Markup("; only the number of a chance changes, of {} to {}.").format(
            *(f"{100 * one:.3g}{theme.PERCENT}" for one in (lines_now.flag_probability, carried))
        )
    ]


def _choice(record: TuningRecord) -> Markup:
    tuned, difference = record.tuned, record.tuned.difference
    if tuned.costs is None:
        return Markup(
            "<b>No policy is recommended without the firm’s own costs</b> of a fault that is "
            "missed and of a visit in vain."
        )
    if record.is_blind:
        return Markup(
            "<b>No policy can be recommended:</b> none of the devices that were not flagged was "
            "examined. <b>{} of them examined</b> would tell what is missed."
        ).format(f"{tuned.wanted:,}")
    best = least_cost(record)
    if best is None or difference is None:
        return Markup("<b>Keep the policy in force:</b> {}").format(kept(tuned.consequences))
    if tuned.recommended:
        return Markup("<b>Draw the lines at {}.</b>").format(lines(best))
    if difference.is_told:
        return Markup(
            "<b>Not yet a choice to adopt:</b> {} costs less on these findings, but lies at an end "
            "of the lines tried and rests on few faults there."
        ).format(lines(best))
    if difference.needed is None:
        return Markup(
            "<b>Keep the policy in force: nothing tells that another costs less.</b> More findings "
            "would as soon speak for it."
        )
    return Markup(
        "<b>Keep the policy in force: the findings cannot tell yet whether another costs less.</b> "
        "About <b>{}</b> would tell, among the {} devices where it and the one proposed differ."
    ).format(
        count(difference.needed, "more finding"),
        f"{difference.differing_count:,}",
    )


def _change(record: TuningRecord) -> Markup:
    now, best = in_force(record), least_cost(record)
    if record.is_blind:
        return Markup("The policy in force flags {} devices in 100 panels.").format(
            f"{now.flags_per_100_panels:.1f}"
        )
    if best is None:
        return Markup(
            "The policy in force flags {} devices in 100 panels; about {} faults a quarter are "
            "missed and {} visits are in vain."
        ).format(
            f"{now.flags_per_100_panels:.1f}", per_quarter(now.missed), per_quarter(now.wasted)
        )
    start = Markup("That means ")
    if not record.tuned.recommended:
        start = Markup("At {}: ").format(lines(best))
    words = Markup(
        "{}{} flags in 100 panels in place of {}, about {} faults missed a quarter in place of {}, "
        "and {} visits in vain in place of {}."
    ).format(
        start,
        f"{best.flags_per_100_panels:.1f}",
        f"{now.flags_per_100_panels:.1f}",
        per_quarter(best.missed),
        per_quarter(now.missed),
        per_quarter(best.wasted),
        per_quarter(now.wasted),
    )
    return words + _flipped(record)


def _flipped(record: TuningRecord) -> Markup:
    """Say what would change; a policy that the reader named is told apart from the one proposed."""
    if record.flips is None or record.is_given:
        return Markup("")
    return Markup(" {}").format(record.flips.sentence)


def _given(record: TuningRecord) -> list[Markup]:
    """Tell of the policy that the reader named, apart from all that is said of another."""
    if not record.is_given or record.proposed is None:
        return []
    told = record.flips.sentence if record.flips else record.trouble
    return [
        Markup("<b>The policy given, {} ({}),</b> is another matter: {}").format(
            theme.printable(record.proposed.version), lines(record.proposed), told
        )
    ]


def _reach(record: TuningRecord) -> list[Markup]:
    """Say what no policy can reach, where that is much."""
    span = record.tuned.span
    if span.outside < LARGE_SHARE * (span.readings + span.outside):
        return []
    return [Markup("{}").format(unreachable(record.tuned.span, record.tuned.found))]


def _sure(record: TuningRecord) -> Markup:
    tuned, difference = record.tuned, record.tuned.difference
    found = count(tuned.found.counted, "finding")
    faults = count(tuned.found.faulty, "fault")
    basis = Markup("{}, {} among them, say that {} of the faults are flagged now.").format(
        found, faults, rate(shares(record)[0])
    )
    if difference is None:
        return basis
    saving = Markup(
        "The saving is put at about {} a quarter, with 95 % confidence between {} and {}; {} were "
        "taken off for having picked among many{}. "
    ).format(
        *(money(one) for one in (difference.saved, difference.low, difference.high)),
        money(difference.flattery),
        _before(record),
    )
    return saving + basis


def _before(record: TuningRecord) -> str:
    """Say what the saving is before that: interval, parts and steps are of this."""
    asked = record.tuned.consequences
    found = [one.saved for one in asked.steps if one.is_proposed] if asked else []
    if not found or any(one.is_proposed for one in record.tuned.classes):
        return ""
    return f"; before that it is {money(found[0])}, as in the interval and step by step"


def _parts(record: TuningRecord) -> list[Markup]:
    """Say what the last part of the way brings by itself, and which part is told."""
    asked = record.tuned.consequences
    if asked is None or asked.further is None or not record.tuned.recommended:
        return []
    return [Markup("<b>In two parts.</b> {}").format(asked.further.sentence)]


def tiles(record: TuningRecord) -> list[Tile]:
    """Return the five numbers of the policy in force."""
    tuned, now = record.tuned, in_force(record)
    slope = tuned.reliability.slope if tuned.reliability else None
    caught, vain = shares(record)
    return [
        Tile("findings", f"{tuned.found.counted:,}", f"{count(tuned.found.faulty, 'fault')}"),
        Tile("faults flagged", point(caught), theme.interval(caught.low, caught.high)),
        Tile("flagged in vain", point(vain), theme.interval(vain.low, vain.high)),
        Tile(
            "missed a quarter",
            "–" if record.is_blind else per_quarter(now.missed),
            "nobody knows" if record.is_blind else ends(now.missed_spread),
        ),
        Tile("slope of chances", "–" if slope is None else f"{slope:.2f}", "1 is calibrated"),
    ]
