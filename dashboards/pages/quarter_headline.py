"""The quarter in three sentences and five numbers."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from analytics.policy import Policy
from dashboards import theme
from dashboards.pages import quarter_course
from dashboards.pages.parts import count
from dashboards.pages.quarter_signals import brief, of_quarter
from dashboards.pages.quarter_words import any_limit, continuous_limit
from dashboards.quarter_records import QuarterCount, QuarterRecord, Share

NONE = "none judged"


@dataclass(frozen=True)
class Tile:
    """A number with its label and a remark; `verdict` names the mark beside it, if any."""

    label: str
    value: str
    remark: str
    verdict: str = ""


def sentences(record: QuarterRecord) -> list[Markup]:
    """Return three sentences: what was found, what changed, what stands out."""
    now = record.now
    if not now.reading_count:
        return [_nothing(record)]
    return [_found(now, record.policy), _changed(record), _stands_out(record)]


def _nothing(record: QuarterRecord) -> Markup:
    if not record.is_screened:
        return Markup(
            "<b>No reading in this store has been judged yet.</b> Run loadrise fit, then loadrise "
            "screen; then this page tells of {}."
        ).format(record.quarter)
    held = ", ".join(one.quarter for one in record.held)
    rest = f"Quarters with readings: {held}." if held else "The store has no readings at all."
    return Markup("<b>There are no judged readings of {}.</b> {}").format(record.quarter, rest)


def _found(now: QuarterCount, policy: Policy) -> Markup:
    came_in = Markup("In {}, <b>{}</b> {} scanned with {}").format(
        now.quarter,
        count(now.panel_count, "panel"),
        "was" if now.panel_count == 1 else "were",
        count(now.reading_count, "reading"),
    )
    if not now.judged_count:
        return Markup(
            "{}; <b>none could be judged</b>, so nothing can be said of faults or overloads."
        ).format(came_in)
    flagged = (
        Markup("<b>none was flagged</b> {}").format(_bracket(now.flagged))
        if not now.flagged_count
        else Markup(
            "<b>{} flagged</b>, {} {}, as hotter than the current explains or a standard allows"
        ).format(_were(now.flagged_count), theme.share(now.flagged.value), _bracket(now.flagged))
    )
    return Markup("{}; of {} that could be judged {}, and {}.").format(
        came_in, f"{now.judged_count:,}", flagged, _over(now, policy)
    )


def _over(now: QuarterCount, policy: Policy) -> Markup:
    """Tell what is over its rating from what counts only if the load runs for hours."""
    share = f"{theme.share(now.overload.value)} ({theme.interval(*_ends(now.overload))})"
    if not now.overload_count:
        return Markup("<b>none was over the current limit</b> ({})").format(
            theme.interval(*_ends(now.overload))
        )
    both = f", {now.both_count:,} of them flagged as well" if now.both_count else ""
    rest = now.overload_count - now.rating_count
    if not rest:
        return Markup("<b>{} over {}</b>, {}{}").format(
            _were(now.rating_count), any_limit(policy), share, both
        )
    return Markup(
        "<b>{} over {}</b> and {} more over {}, which counts only for loads of three hours or "
        "more, together {}{}"
    ).format(
        _were(now.rating_count) if now.rating_count else "none was",
        any_limit(policy),
        f"{rest:,}",
        continuous_limit(policy),
        share,
        both,
    )


def _ends(one: Share) -> tuple[float | None, float | None]:
    return one.low, one.high


def _were(number: int) -> str:
    return f"{number:,} was" if number == 1 else f"{number:,} were"


def _bracket(one: Share) -> str:
    return f"(95{theme.PERCENT} interval {theme.interval(one.low, one.high)})"


def _changed(record: QuarterRecord) -> Markup:
    """Tell the change on the last quarter with the mix of cases held, as the trends have it."""
    told = quarter_course.sentence(record)
    if told:
        return told
    before = record.counts[-2].quarter if len(record.counts) > 1 else ""
    if not before:
        return Markup("This is the first quarter in the store, so there is no change to report.")
    if record.last is None:
        return Markup("Nothing of {} could be judged, so there is no change to report.").format(
            before
        )
    return Markup("A change against {} cannot be told: too few like cases.").format(before)


def _stands_out(record: QuarterRecord) -> Markup:
    trends = record.trends
    if trends is None or not trends.tested_count:
        return Markup(
            "Nothing could be compared yet: cameras, people, offices and makes need more."
        )
    compared = (
        f"Of {count(trends.tested_count, 'comparison')} of cameras, inspectors, offices, makes, "
        "classes and the firm"
    )
    found = len(of_quarter(record))
    if not found:
        return Markup("{} <b>none stands apart more than chance brings</b>.").format(compared)
    verb = "shows" if found == 1 else "show"
    return Markup("{} <b>{} {} more than chance brings</b>: {}.").format(
        compared, found, verb, brief(record, firm="the firm, as told above")
    )


def tiles(record: QuarterRecord) -> list[Tile]:
    """Return the five numbers of the quarter."""
    now = record.now
    judged = theme.share(now.judged_count / now.reading_count) if now.reading_count else "–"
    return [
        Tile(
            "panels",
            f"{now.panel_count:,}",
            f"in {count(now.inspection_count, 'inspection')}",
        ),
        Tile("readings", f"{now.reading_count:,}", f"{now.clamped_count:,} with a current"),
        Tile("judged", f"{now.judged_count:,}", f"{judged} of readings"),
        Tile("flagged", f"{now.flagged_count:,}", _of(now.flagged), "suspect_connection"),
        Tile("over the limit", f"{now.overload_count:,}", _of_over(record), "overload"),
    ]


def _of_over(record: QuarterRecord) -> str:
    words, number = _of(record.now.overload), record.now.rating_count
    return f"{words}; {number:,} over {any_limit(record.policy)}" if words != NONE else words


def _of(one: Share) -> str:
    if one.value is None:
        return NONE
    return f"{theme.share(one.value)} ({theme.interval(one.low, one.high)})"
