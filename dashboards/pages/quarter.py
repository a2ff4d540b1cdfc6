"""The quarterly page: headline, what changed, what stands apart, what to do, how it was done."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from analytics.errors import UsageError
from analytics.notices import CAUTIONS, SHORT_CAUTION, URGENT
from dashboards import theme
from dashboards.pages import (
    quarter_cases,
    quarter_changes,
    quarter_course,
    quarter_drift,
    quarter_habits,
    quarter_headline,
    quarter_listed,
    quarter_method,
    quarter_missed,
    quarter_next,
    quarter_offices,
    quarter_pairs,
    quarter_quality,
    quarter_referrals,
    quarter_signals,
    quarter_since,
    quarter_standings,
)
from dashboards.pages.parts import Figure, Table
from dashboards.quarter_records import QuarterRecord
from dashboards.quarter_tables import TABLES

Links = tuple[tuple[str, str], ...]

SHOWN = {"degF": theme.RiseScale(1.8, "°F"), "degC": theme.RiseScale(1.0, "K")}
"""How differences are shown where the firm works in that unit: 1 K is 1.8 °F exactly, never plus
32. A test holds it to `analytics.units`, whose registry takes a quarter of a second to load."""


@dataclass(frozen=True)
class QuarterPage:
    """Everything the template lays out; plain text unless it is Markup."""

    quarter: str
    days: str
    headline: list[Markup]
    tiles: list[quarter_headline.Tile]
    next_lines: list[quarter_next.NextLine]
    urgent: str
    open_table: Table | None
    since: str
    short_caution: str
    notices: list[str]
    signals: list[quarter_signals.SignalLine]
    signal_remarks: list[str]
    otherwise: quarter_signals.Otherwise
    changes: list[Figure]
    moves: Figure | None
    pairs: Figure | None
    worse_table: Table | None
    drifts: list[quarter_drift.DriftPart]
    apart: list[quarter_signals.SignalLine]
    standings: list[quarter_standings.Standings]
    referral_sentence: str
    referrals: list[Figure]
    referral_table: Table | None
    missed_sentence: str
    chance_sentence: str
    chance_table: Table | None
    habits: list[quarter_habits.HabitPart]
    cases: list[quarter_cases.CasePart]
    cases_sentence: str
    listed_tables: list[tuple[str, Table]]
    unjudged_sentence: str
    unjudged_table: Table | None
    protocol_sentence: str
    unscreened_sentence: str
    files_sentence: str
    rejected_table: Table | None
    recheck_table: Table | None
    astray_table: Table | None
    method: list[str]
    versions_table: Table | None
    files: list[tuple[str, str]]
    beside: Links
    cautions: tuple[str, ...]

    @property
    def figures(self) -> list[Figure]:
        """Every figure, in the order of the page."""
        found = [*self.changes, self.moves, self.pairs]
        found += [one for drift in self.drifts for one in (drift.all, *drift.courses)]
        found += [one for standing in self.standings for one in standing.figures]
        found += [one for case in self.cases for one in (case.band, case.panel)]
        found += [*self.referrals, *(habit.figure for habit in self.habits)]
        return [one for one in found if one is not None]

    @property
    def has_readings(self) -> bool:
        """Whether the quarter has any reading to speak of."""
        return bool(self.days)


def rise_scale(unit: str) -> theme.RiseScale:
    """Return how rises are shown in `unit` (degF or degC). Raises UsageError for another unit."""
    if unit not in SHOWN:
        raise UsageError(f"Rises cannot be shown in “{unit}”.", "Use degF or degC.")
    return SHOWN[unit]


def page(record: QuarterRecord, unit: str, folder: str = "", beside: Links = ()) -> QuarterPage:
    """Put a record into words, tables and figures, rises in `unit` (degF or degC).

    `folder` is that of its tables as CSV, `beside` (link, words) of further pages there.
    """
    has_readings = bool(record.now.reading_count)
    scale = rise_scale(unit)
    return QuarterPage(
        quarter=record.quarter,
        days=_days(record),
        headline=quarter_headline.sentences(record),
        tiles=quarter_headline.tiles(record) if has_readings else [],
        next_lines=quarter_next.lines(record, scale) if has_readings else [],
        urgent=URGENT,
        open_table=quarter_offices.open_table(record),
        since=quarter_since.sentence(record) if has_readings else "",
        short_caution=SHORT_CAUTION,
        notices=[one.sentence for one in (record.trends.notices if record.trends else ())],
        signals=quarter_signals.changes(record),
        signal_remarks=quarter_course.remarks(record),
        otherwise=quarter_signals.otherwise(record),
        changes=quarter_changes.figures(record),
        moves=quarter_changes.moves(record),
        pairs=quarter_pairs.pairs(record, scale),
        worse_table=quarter_pairs.worse_table(record, scale),
        drifts=quarter_drift.parts(record, scale),
        apart=quarter_signals.apart(record),
        standings=quarter_standings.sections(record, scale) if has_readings else [],
        habits=quarter_habits.parts(record),
        cases=quarter_cases.parts(record, scale),
        cases_sentence=_cases_sentence(record),
        listed_tables=_listed_tables(record, scale),
        method=quarter_method.paragraphs(record),
        versions_table=quarter_method.versions_table(record),
        files=[(f"{folder}/{one.name}.csv", one.title) for one in TABLES] if folder else [],
        beside=beside,
        cautions=CAUTIONS,
        **_found(record),
        **_quality(record),
    )


def _found(record: QuarterRecord) -> dict[str, Any]:
    """Return what electricians found, by the names that the page has for it."""
    return {
        "referral_sentence": quarter_referrals.sentence(record),
        "referrals": quarter_referrals.figures(record),
        "referral_table": quarter_offices.referral_table(record),
        "chance_sentence": quarter_missed.chance_sentence(record),
        "missed_sentence": quarter_missed.sentence(record),
        "chance_table": quarter_referrals.chance_table(record),
    }


def _quality(record: QuarterRecord) -> dict[str, Any]:
    """Return what could not be judged and what the files held, by the page's names."""
    return {
        "unjudged_sentence": quarter_quality.unjudged_sentence(record),
        "unjudged_table": quarter_quality.unjudged_table(record),
        "protocol_sentence": quarter_quality.protocol_sentence(record),
        "unscreened_sentence": quarter_quality.unscreened_sentence(record),
        "files_sentence": quarter_quality.files_sentence(record),
        "rejected_table": quarter_quality.rejected_table(record),
        "recheck_table": quarter_quality.recheck_table(record),
        "astray_table": quarter_quality.astray_table(record),
    }


def headline_lines(record: QuarterRecord) -> list[str]:
    """Return the headline as plain lines for a terminal."""
    return [sentence.striptags() for sentence in quarter_headline.sentences(record)]


def _days(record: QuarterRecord) -> str:
    held = [one for one in record.held if one.quarter == record.quarter]
    if not held:
        return ""
    first, last = held[0].first_on.isoformat(), held[0].last_on.isoformat()
    days = f"Readings of {first}" if first == last else f"Readings from {first} to {last}"
    seen = [one.found_at for one in record.listed if one.found_at is not None]
    return f"{days}; examined up to {max(seen).date().isoformat()}" if seen else days


def _cases_sentence(record: QuarterRecord) -> str:
    flagged, shown = record.now.flagged_count, len(record.cases)
    if not flagged:
        return (
            "No reading of this quarter was flagged. A scan sees surfaces at one moment and one "
            "load; nothing found is no certificate."
        )
    bare = sum(one.is_flagged and not one.is_drawable for one in record.listed)
    rest = (
        f" {bare:,} flagged without a current, or of a class that the baseline does not know, "
        f"{'stands' if bare == 1 else 'stand'} in the table only."
        if bare
        else ""
    )
    if shown == flagged:
        which = "The one flagged reading" if shown == 1 else f"All {shown} flagged readings"
    else:
        which = f"{shown} of {flagged:,} flagged readings, all in the table below"
    if shown < 2:
        return f"{which}.{rest}"
    return (
        f"{which}: what no licensed electrician has examined yet comes first; of those, what is "
        "hotter than a standard allows at full load, then the likelier fault, and of equally "
        f"likely ones the hotter, be it the face or the termination.{rest}"
    )


def _listed_tables(record: QuarterRecord, scale: theme.RiseScale) -> list[tuple[str, Table]]:
    """Return the words to unfold them by, and the tables of all flagged and all over the limit."""
    flagged = sum(one.is_flagged for one in record.listed)
    over = sum(one.is_over for one in record.listed)
    found = (
        ("flagged", flagged, quarter_listed.flagged_table(record, scale)),
        ("over the limit", over, quarter_listed.over_table(record, scale)),
    )
    return [(quarter_listed.heading(what, number), made) for what, number, made in found if made]
