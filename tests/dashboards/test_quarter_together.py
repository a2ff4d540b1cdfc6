"""A camera and whoever mostly reads with it: one finding on the page, and one thing to do."""

from __future__ import annotations

from dataclasses import replace

import pytest

from analytics.trends.records import OTHERS, PAST, Source, Use
from dashboards.pages.quarter import SHOWN
from dashboards.pages.quarter_beside import beyond_words, year
from dashboards.pages.quarter_changes import LAST_QUARTER, figures, moves
from dashboards.pages.quarter_drift import unit_of
from dashboards.pages.quarter_next import lines
from dashboards.pages.quarter_signals import changes
from dashboards.quarter_records import QuarterRecord
from tests.gold.tables import LAST
from tests.gold.trends import trends

SCALE = SHOWN["degC"]


def _record(record: QuarterRecord, *uses: Use, inspector_k: float = 2.5) -> QuarterRecord:
    """Return the record with camera C2 3 K and inspector N2 2.5 K above the others, unnamed."""
    quiet = trends(is_quiet=True)
    points = tuple(
        replace(one, level=inspector_k) if (one.level_name, one.quarter) == ("N2", LAST) else one
        for one in quiet.points
    )
    return replace(record, trends=replace(quiet, points=points, uses=uses))


def _words(record: QuarterRecord, subject: str) -> str:
    return beyond_words(subject, record, unit_of(subject, SCALE))


def test_both_are_told_as_one(record: QuarterRecord) -> None:
    held = _record(record, Use("C2", "N2", LAST, OTHERS, 110, 120, 116))
    camera, person = _words(held, "camera"), _words(held, "inspector")
    assert camera.startswith(
        "C2 reads 3.0 K above the others (N2, who used it in 110 of 120 inspections, reads 2.5 K "
        "above the others too: the camera, or N2’s thermometer for the air), beyond the grey"
    )
    assert person == (
        "N2 reads 2.5 K above the others, which is one finding with camera C2: 110 of 116 "
        "inspections were with it"
    )
    told = [one for one in lines(held, SCALE) if "camera" in one.what]
    assert len(told) == 1
    assert "N2" in told[0].why


@pytest.mark.parametrize(
    ("use", "inspector_k"),
    [
        (Use("C2", "N2", LAST, OTHERS, 20, 120, 116), 2.5),
        (Use("C2", "N2", LAST, OTHERS, 110, 120, 116), -2.5),
        (Use("C2", "N2", LAST, PAST, 110, 120, 116), 2.5),
        (Use("C1", "N2", LAST, OTHERS, 110, 120, 116), 2.5),
    ],
)
def test_what_does_not_go_together_is_told_apart(
    record: QuarterRecord, use: Use, inspector_k: float
) -> None:
    """Too few inspections in common; the other way round; the wrong span; another camera."""
    held = _record(record, use, inspector_k=inspector_k)
    assert "one finding" not in _words(held, "inspector")
    assert "too: the camera" not in _words(held, "camera")
    assert _words(held, "inspector").endswith("not yet certain: compare how they read")


def test_a_user_who_reads_as_others_do_is_still_named(record: QuarterRecord) -> None:
    held = _record(record, Use("C2", "N2", LAST, OTHERS, 110, 120, 116), inspector_k=0.1)
    assert "(N2 used it in 110 of 120 inspections, so check that thermometer" in _words(
        held, "camera"
    )
    assert _words(held, "inspector") == ""


def test_a_year_is_one_where_the_store_holds_one(record: QuarterRecord) -> None:
    """The small fleet has 2025Q4, 2026Q2 and 2026Q3: a year with a gap."""
    assert record.trends
    assert year(record) == "over the year to 2026Q3"
    late = replace(record, trends=replace(record.trends, quarters=record.trends.quarters[1:]))
    assert year(late) == "over 2026Q2 to 2026Q3 together"
    last = replace(record, trends=replace(record.trends, quarters=record.trends.quarters[2:]))
    assert year(last) == "in 2026Q3"


def test_an_earlier_quarter_outside_its_limits_is_named(record: QuarterRecord) -> None:
    assert record.trends
    quarters = tuple(
        replace(one, flagged=replace(one.flagged, is_out=one.quarter == "2026Q2"))
        for one in record.trends.quarters
    )
    held = replace(record, trends=replace(record.trends, quarters=quarters))
    flagged, over = figures(held)
    assert flagged.sentence.replace("\u00a0", " ").endswith(" 2026Q2 (17 %) lay outside its own.")
    assert "lay outside" not in over.sentence


def _source(subject: str, name: str, against: str, difference: float) -> Source:
    measure = "flagged" if against == PAST else "overload"
    return Source(measure, against, subject, name, 16, 736, 35, 665, 38.7, difference)


def test_a_change_says_where_it_comes_from_and_chance_does_not(record: QuarterRecord) -> None:
    """In the small fleet the overloads fell by more than chance brings, the flagged did not."""
    assert record.trends
    held = tuple(
        _source(subject, name, against, size)
        for against, size in ((LAST_QUARTER, -22.7), (PAST, 20.2))
        for subject, name in (("class", "energy_monitor"), ("office", "a"), ("office", "b"))
    )
    known = replace(record, trends=replace(record.trends, sources=held))
    made = moves(known)
    assert made
    assert made.sentence.count("arithmetic, not proof of a cause") == 1
    assert (
        "Of the 23 fewer over the limit than the shares of the quarter before would have brought, "
        "23 are of class energy monitor (16 of 736, before 35 of 665); office by office, a 23 "
        "fewer and b 23 fewer." in made.sentence
    )
    told = [
        one.sentence
        for one in changes(known)
        if "The firm" in one.sentence or "Firm" in one.sentence
    ]
    where = "Of the 20 more flagged than expected, 20 are of class"
    assert sum(one.count(where) for one in told) == 1
