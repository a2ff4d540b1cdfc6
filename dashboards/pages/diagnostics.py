"""The diagnostics page: what the baseline knows, what is left over, what the verdicts rest on."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from analytics.columns import CLASS_WORDS
from analytics.notices import CAUTIONS, SHORT_CAUTION
from dashboards import theme
from dashboards.diagnostics import LEAST_COUNT
from dashboards.diagnostics_records import Counts, DiagnosticsRecord
from dashboards.pages import (
    diagnostics_baseline,
    diagnostics_coverage,
    diagnostics_history,
    diagnostics_reasons,
    diagnostics_residuals,
    diagnostics_unjudged,
    diagnostics_weights,
)
from dashboards.pages.diagnostics_words import Section, order
from dashboards.pages.parts import count, listed
from dashboards.pages.quarter import rise_scale
from dashboards.pages.quarter_headline import Tile

PRIOR_SPEAKS = 0.1
"""Share of the prior in a rise at rating from which it is told [1]; chosen."""
GLOSSARY = (
    ("effective readings", diagnostics_baseline.EFFECTIVE),
    (
        "healthy spread",
        "The standard deviation of healthy readings of that class at that load in that panel.",
    ),
    (
        "residual",
        "Rise minus usual rise, over the healthy spread; the reading itself and its panel’s effect "
        "that it shaped are left out.",
    ),
    (
        "prior",
        "What is known of such devices in general, before the firm’s own readings speak.",
    ),
    (
        "p value",
        "Chance that a healthy reading is as hot for its load: by its residual, or by its rank "
        "among comparable readings of other panels.",
    ),
)


@dataclass(frozen=True)
class DiagnosticsPage:
    """Everything the template lays out; plain text unless it is Markup."""

    days: str
    headline: list[Markup]
    tiles: list[Tile]
    short_caution: str
    sections: list[Section]
    glossary: tuple[tuple[str, str], ...]
    method: str
    cautions: tuple[str, ...]


def page(record: DiagnosticsRecord, unit: str) -> DiagnosticsPage:
    """Put a record into words, tables and figures, rises in `unit` (degF or degC).

    Raises UsageError for another unit.
    """
    scale = rise_scale(unit)
    return DiagnosticsPage(
        days=_days(record),
        headline=_headline(record, unit),
        tiles=_tiles(record) if record.counts and record.counts.reading_count else [],
        short_caution=SHORT_CAUTION,
        sections=[
            diagnostics_baseline.section(record, scale),
            diagnostics_residuals.section(record, unit),
            diagnostics_unjudged.section(record),
            diagnostics_reasons.section(record),
            diagnostics_coverage.section(record),
            diagnostics_weights.section(record, scale),
            diagnostics_history.section(record),
        ],
        glossary=GLOSSARY,
        method=diagnostics_residuals.rule(),
        cautions=CAUTIONS,
    )


def headline_lines(record: DiagnosticsRecord, unit: str) -> list[str]:
    """Return the headline as plain lines for a terminal."""
    return [sentence.striptags() for sentence in _headline(record, unit)]


def _days(record: DiagnosticsRecord) -> str:
    first = [one.first_on for one in record.used if one.first_on]
    last = [one.last_on for one in record.used if one.last_on]
    if not first or not last:
        return ""
    return f"Readings from {min(first).isoformat()} to {max(last).isoformat()}"


def _headline(record: DiagnosticsRecord, unit: str) -> list[Markup]:
    counts = record.counts
    if counts is None or not counts.reading_count:
        return [_nothing(record)]
    words = [_learned(counts, record), _held(record)]
    words.append(Markup("{}").format(diagnostics_residuals.departures(record, unit)))
    if counts.unscreened_count:
        are = "is" if counts.unscreened_count == 1 else "are"
        words.append(
            Markup(
                "{} came in after the last screening and {} not here: run fit and screen."
            ).format(count(counts.unscreened_count, "reading"), are)
        )
    return [one for one in words if one]


def _nothing(record: DiagnosticsRecord) -> Markup:
    if record.counts is not None:
        rest = "The store has no readings at all."
    elif record.versions:
        rest = "A baseline has been fitted, but nothing was judged by it: run loadrise screen."
    else:
        rest = "Run loadrise ingest, fit and screen first."
    return Markup("<b>No reading in this store has been judged yet.</b> {}").format(rest)


def _learned(counts: Counts, record: DiagnosticsRecord) -> Markup:
    leaning = {
        group.device_class
        for group in record.groups
        if group.channel == "face" and not group.is_prior_only and group.prior_share > PRIOR_SPEAKS
    }
    words = Markup("The baseline learned from <b>{}</b> of {}.").format(
        count(counts.taught_count, "clamped reading"), f"{counts.reading_count:,}"
    )
    if not leaning:
        return words
    names = listed([CLASS_WORDS.get(name, name) for name in sorted(leaning, key=order)])
    return words + Markup(" At rating the prior still speaks for {}.").format(names)


def _held(record: DiagnosticsRecord) -> Markup:
    held, total = diagnostics_coverage.inside(record)
    if not total:
        return Markup("")
    if total < LEAST_COUNT:
        return Markup("{} with an interval: too few to test it by.").format(count(total, "reading"))
    return Markup(
        "<b>{}</b> of readings lie inside their healthy 95 % interval; a little under 95 % is "
        "right, since faulty ones lie above."
    ).format(theme.share(held / total))


def _tiles(record: DiagnosticsRecord) -> list[Tile]:
    counts = record.counts
    if counts is None:
        return []
    held, total = diagnostics_coverage.inside(record)
    apart = diagnostics_residuals.apart_rows(record)
    whole = counts.reading_count
    return [
        Tile(
            "clamped",
            f"{counts.clamped_count:,}",
            f"{theme.share(counts.clamped_count / whole)} of readings",
        ),
        Tile(
            "judged",
            theme.share(counts.judged_count / whole),
            count(counts.judged_count, "reading"),
            "normal",
        ),
        Tile(
            "not judged",
            theme.share(counts.unjudged_count / whole),
            count(counts.unjudged_count, "reading"),
            "cannot_judge",
        ),
        Tile(
            "inside 95 %",
            theme.share(held / total) if total else "–",
            f"of {count(total, 'reading')}",
        ),
        Tile("levels off", f"{len(apart):,}", f"of {len(record.compared):,} looked at"),
    ]
