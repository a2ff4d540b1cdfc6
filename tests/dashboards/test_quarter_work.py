"""The quarter's work as lists: each device, each office, what became of the page before."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime

import pytest

from dashboards.pages import quarter_missed, quarter_offices, quarter_referrals
from dashboards.pages.quarter import SHOWN, page
from dashboards.pages.quarter_index import index_page
from dashboards.pages.quarter_listed import (
    MOST_LISTED,
    flagged_table,
    heading,
    over_table,
    status,
)
from dashboards.pages.quarter_quality import astray_table, files_sentence, unjudged_sentence
from dashboards.pages.quarter_since import sentence
from dashboards.quarter import collect, policy_of
from dashboards.quarter_found import Chance, Office, VerdictFound
from dashboards.quarter_kept import Astray, FileCount, Known, Recheck, Unjudged
from dashboards.quarter_records import QuarterRecord, Referral
from dashboards.render import render
from tests.dashboards.reader import words_of
from tests.dashboards.rows import ROWS, listed_row
from tests.gold.tables import LAST, small_fleet

SCALE = SHOWN["degF"]


def test_each_device_says_what_became_of_it() -> None:
    assert status(ROWS[0]) == "Not examined yet."
    assert status(ROWS[3]) == (
        "Examined on 2026-07-09 by a licensed electrician: a loose or failing connection."
    )
    assert status(ROWS[2]).endswith("Still to be examined by a licensed electrician.")


def test_the_tables_hold_all(record: QuarterRecord) -> None:
    held = replace(record, listed=ROWS)
    flagged, over = flagged_table(held, SCALE), over_table(held, SCALE)
    assert flagged
    assert over
    assert [row[0] for row in flagged.rows] == ["P1", "P2", "P3", "P4", "P6"]
    assert [row[0] for row in over.rows] == ["P5", "P7", "P6"]
    assert flagged.rows[1] == (
        "P2", "4", "standard", "suspected", "2026-07-01", "b", "N1", "V1", "no", "50\u00a0%", "36",
        "180", "90\u00a0%", "111",
    )  # fmt: skip
    assert flagged.rows[2][8] == "no (loose connection, without a licence)"
    assert over.rows[2][8] == "2026-07-09, loose connection"
    assert [row[-1] for row in over.rows] == ["refer", "ask", "–"]
    assert flagged.verdicts == ("suspect_connection",) * 4 + ("overload_and_connection",)
    assert flagged_table(replace(record, listed=()), SCALE) is None


def test_a_mart_lists_what_is_open_first() -> None:
    """A licensed finding moves a device to the end; a look by another leaves it where it is."""
    with small_fleet() as store:
        before = [one for one in collect(store, LAST).listed if one.is_flagged]
        for one, licensed in ((before[0], True), (before[1], False)):
            store.execute(
                "insert into records.finding (finding_id, file_id, line, content_hash, is_current, "
                "inspection_id, panel_id, position, found_at, finding, examined_by_licensed) "
                "values ($id, 1, 1, 1, true, $visit, $panel, $slot, timestamp '2026-10-01', "
                "'nothing_found', $licensed)",
                {"id": one.reading_id, "visit": one.inspection_id, "panel": one.panel_id,
                 "slot": one.position, "licensed": licensed},
            )  # fmt: skip
        record = collect(store, LAST)
    after = [one.reading_id for one in record.listed if one.is_flagged]
    assert after == [one.reading_id for one in (*before[1:], before[0])]
    assert [case.reading_id for case in record.cases] == after
    assert (record.now.flagged_count, len(before)) == (3, 3)


def test_what_is_hotter_than_allowed_comes_before_what_is_likelier() -> None:
    """The policy's 50 K: a termination at 60 K leads, however small the chance of a fault."""
    with small_fleet() as store:
        last = [one for one in collect(store, LAST).listed if one.is_flagged][-1]
        store.execute(
            "update normalise.measure set termination_rise_k = 60 where reading_id = $id",
            {"id": last.reading_id},
        )
        assert collect(store, LAST).listed[0].reading_id == last.reading_id


def test_a_long_list_is_cut_and_says_where_the_rest_is(record: QuarterRecord) -> None:
    many = tuple(listed_row(number) for number in range(1, MOST_LISTED + 41))
    made = flagged_table(replace(record, listed=many), SCALE)
    assert made is not None
    assert len(made.rows) == MOST_LISTED
    words = heading("flagged", len(many))
    assert words == "The first 150 of 190 flagged (flagged_and_over.csv has all)"


NORTH = Office("north", 157, 3743, 16, 13, 3, 17, 3, 1, 0, 0, 2, 0, "4 10 30")
VALLEY = Office("valley", 115, 2675, 10, 5, 9, 19, 6, 2, 1, 1, 2, 1, "3 5 9 11 20 24")
QUIET = Office("lake", 64, 900, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, None)


def test_open_work_stands_beside_what_was_scanned(record: QuarterRecord) -> None:
    held = replace(record, offices=(VALLEY, NORTH, QUIET))
    made = quarter_offices.open_table(held)
    assert made
    assert [row[:3] for row in made.rows] == [
        ("lake", "64", "0"), ("north", "157", "13"), ("valley", "115", "5"),
    ]  # fmt: skip
    assert made.rows[2][3:] == ("9", "19")
    assert "Open work by office" in words_of(render(page(held, "degF")))
    assert quarter_offices.open_table(replace(record, offices=(NORTH,))) is None
    assert quarter_offices.open_table(replace(record, offices=(QUIET, QUIET))) is None


def test_every_finding_has_its_column_and_few_days_are_not_compared(record: QuarterRecord) -> None:
    """Six ordered days hold their median between the ends with 1 − 2/64 = 97 %; three do not."""
    made = quarter_offices.referral_table(replace(record, offices=(VALLEY, NORTH, QUIET)))
    assert made
    assert made.rows == (
        ("north", "16", "3", "1", "0", "0", "2", "0", "10 (of 3)"),
        ("valley", "10", "6", "2", "1", "1", "2", "1", "10 (3 to 24)"),
    )
    for row in made.rows:
        assert int(row[2]) == sum(int(cell) for cell in row[3:7])
    assert made.caption.endswith("days of fewer than 6 cases are too few to compare")


def test_what_became_of_the_page_before(record: QuarterRecord) -> None:
    """The camera's signal of 2026Q2 still shows; another make's does not; moves are no signal."""
    last = Referral("2026Q2", 53, 15, 6, 3, 2, 4, 2, 10.0, 20.0, 0.4, 0.8)
    assert record.trends
    make = next(one for one in record.trends.signals if one.subject == "make")
    gone = replace(make, level_name="Ostrel", quarter="2026Q2", brief="make Ostrel runs 9 % hotter")
    move = replace(gone, subject="firm", against="the last quarter", brief="the firm rose")
    held = replace(record.trends, signals=(gone, move, *record.trends.signals))
    told = sentence(replace(record, referrals=(last,), trends=held))
    assert told == (
        "Since the page of 2026Q2: of its 53 flagged devices licensed electricians have examined "
        "15, and confirmed 9 of them; 38 still wait. No longer a signal: make Ostrel runs 9 % "
        "hotter (2026Q2)."
    )
    none = replace(last, flagged_count=1, examined_count=0, loose_count=0, device_count=0)
    assert sentence(replace(record, referrals=(none,))) == (
        "Since the page of 2026Q2: its one flagged device still waits for a licensed electrician."
    )
    assert sentence(replace(record, counts=record.counts[-1:])) == ""


def _chance(low: float, seen: int, confirmed: int, expected: float, spread: float) -> Chance:
    rest = seen - confirmed
    return Chance(low, seen, confirmed, 0, rest, expected, spread, 0.1, 0.9)


def test_stated_chances_are_set_beside_what_was_found(record: QuarterRecord) -> None:
    """Wilson's ends of 61 in 80 are 66 and 84 %, 63.4 is 79 %; of 59 in 3,859 1.2 and 2.0 %."""
    rows = (_chance(0.9, 41, 40, 38.9, 1.9), _chance(0.3, 39, 21, 24.5, 6.9),
            _chance(0.0, 3859, 59, 16.0, 15.0))  # fmt: skip
    held = replace(record, chances=rows)
    told = quarter_missed.chance_sentence(held).replace("\u00a0", " ")
    assert (
        "with a chance from 30 % on 61 of 80 were confirmed, where the chances add up to 63.4: "
        "about as many as stated; with a chance below 30 % 59 of 3,859 were confirmed, where the "
        "chances add up to 16.0: more than that."
    ) in told
    made = quarter_referrals.chance_table(held)
    assert made
    assert [row[0].replace("\u00a0", " ") for row in made.rows] == [
        "90 to 100 %", "30 to 70 %", "under 10 %",
    ]  # fmt: skip
    few = replace(record, chances=(_chance(0.9, 30, 15, 28.0, 2.0),))
    assert "add up to 28.0: fewer than that." in quarter_missed.chance_sentence(few)
    assert quarter_missed.chance_sentence(replace(record, chances=())) == ""


def test_faults_that_were_not_flagged_are_told_plainly(record: QuarterRecord) -> None:
    """11 + 1 + 2 + 4 confirmed; flagged or not the verdict says, whatever the chance was."""
    rows = (
        VerdictFound("cannot_judge", False, 2000, 70, 4, 3),
        VerdictFound("normal", False, 900, 90, 2, 0),
        VerdictFound("overload", False, 50, 20, 1, 0),
        VerdictFound("suspect_connection", True, 40, 20, 11, 0),
    )
    told = quarter_missed.sentence(replace(record, verdicts=rows)).replace("\u00a0", " ")
    assert told == (
        "Of the 18 faults that licensed electricians confirmed in devices scanned up to 2026Q3, 7 "
        "(39 %) were in devices that had not been flagged: 4 could not be judged (3 read without a "
        "current), 2 had been judged normal and 1 had only been over the limit. Only some were "
        "examined, 20 of 40 flagged and 180 of the 2,950 others, and not at random: the share "
        "missed of all faults is larger or smaller than that. loadrise tune estimates it."
    )
    none = quarter_missed.sentence(replace(record, verdicts=rows[3:]))
    assert "none were in devices that had not been flagged." in none
    bare = tuple(replace(one, confirmed_count=0) for one in rows)
    assert quarter_missed.sentence(replace(record, verdicts=bare)) == ""


def test_rows_and_marks_add_up_or_say_why(record: QuarterRecord) -> None:
    """7,933 = 7,911 + 16 + 6; 61 readings carry 89 marks."""
    files = FileCount(6, 7975, 7933, 12, 30, 16, 7911, 16, 6, 0)
    marks = (Recheck("a", "…", 50), Recheck("b", "…", 39))
    bare = Unjudged("Clamp it.", "…", 4786, 300, 548, 0)
    rest = Unjudged("Scan again.", "…", 1167, 200, 615, 1167)
    now = replace(
        record.now, reading_count=7911, judged_count=1897, unjudged_count=5953, recheck_count=61
    )
    held = replace(
        record,
        files=files,
        rechecks=marks,
        unjudged=(bare, rest),
        counts=(*record.counts[:-1], now),
    )
    assert (
        "Of the kept, 7,911 are readings of this quarter, 16 replaced by a correction and 6 with a "
        "date in no quarter of the store (listed below)."
    ) in files_sentence(held)
    told = unjudged_sentence(held)
    assert (
        "61 contradict themselves (listed under data quality, some in more than one way: 89 in all)"
    ) in told
    assert "548 of those without a current, 615 of the others" in told


def test_readings_in_no_quarter_are_listed_and_counted(record: QuarterRecord) -> None:
    one = Astray(9, "i1", "p1", 4, "north", datetime(2070, 4, 1), "north_2026Q3.csv")
    held = replace(record, astray=(one,), known=Known(date(2026, 10, 20), 46))
    made = astray_table(held)
    assert made
    assert made.rows == (("p1", "4", "i1", "2070-04-01", "north_2026Q3.csv"),)
    assert made.caption.endswith(": 1")
    words = [line.striptags() for line in index_page(held, {}).headline]
    assert words[1].startswith("A further 46 readings carry dates that no quarter can have")


def test_the_signal_of_the_firm_says_what_it_leaves_out(record: QuarterRecord) -> None:
    assert record.trends
    told = words_of(render(page(record, "degF")))
    judged = record.now.judged_count
    firm = next(one for one in record.trends.signals if one.subject == "firm")
    assert ("had no like case" in told) == (judged > firm.count)
    held = replace(record, counts=(*record.counts[:-1], replace(record.now, judged_count=15)))
    assert (
        "Flagged devices: 15 readings were judged in these quarters, 13 count in the signal; 2 had "
        "no like case in earlier quarters"
    ) in words_of(render(page(held, "degF")))


def test_a_flag_without_a_current_breaks_no_page() -> None:
    """Hotter than its standard allows, never clamped: it stands in the table and in no case."""
    with small_fleet() as store:
        first = next(one for one in collect(store, LAST).listed if one.is_flagged)
        for table in ("normalise.measure", "screening.result"):
            store.execute(
                f"update {table} set load_fraction = null where reading_id = $id",
                {"id": first.reading_id},
            )
        record = collect(store, LAST)
    made = page(record, "degF")
    assert first.reading_id not in [case.reading_id for case in record.cases]
    assert any(first.panel_id == row[0] for _, table in made.listed_tables for row in table.rows)
    assert "1 flagged without a current, or of a class" in made.cases_sentence


def test_the_policy_is_that_of_the_verdicts() -> None:
    with small_fleet() as store:
        assert policy_of(store).load_any_share == 1.0
        store.execute(
            "insert into records.policy values ('own-1', true, current_timestamp, "
            "date '2026-01-01', $text, null, '0')",
            {"text": "[load]\nany_share = 1.2\n"},
        )
        store.execute("update screening.result set policy_version = 'own-1'")
        record = collect(store, LAST)
    assert record.policy.load_any_share == 1.2
    assert "over 120 % of the rating" in words_of(render(page(record, "degF")))


@pytest.mark.parametrize("name", ["flagged", "over the limit"])
def test_work_lists_are_folded_apart_from_other_tables(record: QuarterRecord, name: str) -> None:
    """Print shows what is folded as work, and nothing else that is folded."""
    text = render(page(replace(record, listed=ROWS), "degF"))
    work = text.split('<details class="work">')[1:]
    assert len(work) == 2
    assert any(f"{name}</summary>" in part for part in work)
    style = text.split("@media print")[1]
    assert ".work::details-content { content-visibility: visible" in style
    assert "details, noscript, footer, #files { display: none; }" in style
