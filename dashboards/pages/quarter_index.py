"""The page over all quarters: one row a quarter, with its counts, shares, signals and link."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from markupsafe import Markup

from analytics.notices import CAUTIONS, SHORT_CAUTION
from dashboards import theme
from dashboards.pages import quarter_backlog, quarter_changes
from dashboards.pages.parts import Figure, count
from dashboards.pages.quarter_signals import brief, of_quarter
from dashboards.pages.quarter_words import any_limit
from dashboards.quarter_records import QuarterCount, QuarterRecord, Share


@dataclass(frozen=True)
class IndexRow:
    """One quarter: its link, if its page is there, and numbers as (label, value, remark)."""

    quarter: str
    href: str
    numbers: tuple[tuple[str, str, str], ...]
    signals: str


@dataclass(frozen=True)
class IndexPage:
    """Everything the template lays out; plain text unless it is Markup."""

    headline: list[Markup]
    short_caution: str
    figures: list[Figure]
    rows: list[IndexRow]
    others: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]


def index_page(
    record: QuarterRecord, pages: Mapping[str, str], others: tuple[tuple[str, str], ...] = ()
) -> IndexPage:
    """Put the record of the last quarter into the page over all.

    Args: record; pages, quarter -> link, of the pages that are there; others, (link, words) of
    further pages beside.
    """
    held = {one.quarter for one in record.held}
    counts = [row for row in record.counts if row.quarter in held]
    return IndexPage(
        headline=_headline(record, counts),
        short_caution=SHORT_CAUTION,
        figures=quarter_changes.figures(record) if counts else [],
        rows=[_row(row, record, pages.get(row.quarter, "")) for row in reversed(counts)],
        others=others,
        cautions=CAUTIONS,
    )


def _headline(record: QuarterRecord, counts: list[QuarterCount]) -> list[Markup]:
    if not counts:
        words = "has a verdict" if record.is_screened else "has been judged yet"
        return [Markup("<b>No reading in this store {}.</b>").format(words)]
    readings = sum(row.reading_count for row in counts)
    span = counts[0].quarter
    if len(counts) > 1:
        span = f"{span} to {counts[-1].quarter}"
    told = Markup("<b>{}</b> of panel scans, {}, with <b>{}</b>, {} of them judged.").format(
        count(len(counts), "quarter"),
        span,
        count(readings, "reading"),
        f"{sum(row.judged_count for row in counts):,}",
    )
    waiting = [Markup("{}").format(words) for words in [quarter_backlog.sentence(record)] if words]
    return [told, *_astray(record), *waiting, _signals(record, counts)]


def _astray(record: QuarterRecord) -> list[Markup]:
    """Account for readings that are in no quarter, so that all add up to those of the store."""
    number = record.known.astray_count
    if not number:
        return []
    carry = "carries a date" if number == 1 else "carry dates"
    return [
        Markup(
            "A further {} {} that no quarter can have, mostly in the future: each quarter’s page "
            "lists those of its files under data quality."
        ).format(count(number, "reading"), carry)
    ]


def _signals(record: QuarterRecord, counts: list[QuarterCount]) -> Markup:
    found = [row.quarter for row in counts if of_quarter(record, row.quarter)]
    if not found:
        return Markup("In none of them anything stands apart more than chance brings.")
    return Markup(
        "In <b>{} of the {}</b> something differed from the others, or from its own past, by more "
        "than chance brings. The latest, {}: {}."
    ).format(
        f"{len(found):,}",
        count(len(counts), "quarter"),
        found[-1],
        brief(record, found[-1], is_short=True),
    )


def _row(row: QuarterCount, record: QuarterRecord, href: str) -> IndexRow:
    referral = next((one for one in record.referrals if one.quarter == row.quarter), None)
    numbers = [
        ("panels", f"{row.panel_count:,}", count(row.inspection_count, "inspection")),
        ("readings", f"{row.reading_count:,}", f"{row.judged_count:,} judged"),
        ("flagged", f"{row.flagged_count:,}", _share(row.flagged)),
        ("over the limit", f"{row.overload_count:,}", _over(row, record)),
    ]
    if referral is not None and referral.examined_count:
        waiting = referral.flagged_count - referral.examined_count
        examined = f"of {referral.examined_count:,} examined, {waiting:,} not yet"
        numbers.append(("confirmed", f"{referral.confirmed.count:,}", examined))
    else:
        numbers.append(("confirmed", "–", "none examined"))
    return IndexRow(row.quarter, href, tuple(numbers), _told(record, row.quarter))


def _over(row: QuarterCount, record: QuarterRecord) -> str:
    words = _share(row.overload)
    if not row.judged_count:
        return words
    return f"{words}; {row.rating_count:,} over {any_limit(record.policy)}"


def _share(one: Share) -> str:
    if one.value is None:
        return "none judged"
    return f"{theme.share(one.value)} ({theme.interval(one.low, one.high)})"


def _told(record: QuarterRecord, quarter: str) -> str:
    signals = of_quarter(record, quarter)
    if not signals:
        return "Nothing stands apart more than chance brings."
    new = sum(one.is_new for one in signals) or "none"
    return f"{count(len(signals), 'signal')}, {new} new: {brief(record, quarter, is_short=True)}."
