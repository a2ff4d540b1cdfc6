"""What to do next, what became of each device, and the sentence on where its heat comes from."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import datetime

import pytest

from analytics.trends.records import HabitShare
from dashboards.pages.quarter import SHOWN, page
from dashboards.pages.quarter_beside import beyond
from dashboards.pages.quarter_cases import heat_words
from dashboards.pages.quarter_listed import (
    MOST_LISTED,
    flagged_table,
    heading,
    over_table,
    status,
)
from dashboards.pages.quarter_next import lines
from dashboards.quarter import collect
from dashboards.quarter_listed import Listed
from dashboards.quarter_records import QuarterRecord
from dashboards.render import render
from tests.gold.tables import LAST, small_fleet
from tests.gold.trends import trends

SCALE = SHOWN["degF"]


def _listed(number: int, **given: object) -> Listed:
    usual: dict[str, object] = {
        "reading_id": number, "inspection_id": "V1", "panel_id": f"P{number}", "position": 4,
        "poles": 1, "device_class": "standard", "office_id": "a", "inspector_id": "N1",
        "inspected_at": datetime(2026, 7, 1), "verdict": "suspect_connection", "probability": 0.9,
        "rise_k": 20.0, "termination_rise_k": None, "rated_a": 20.0, "load_fraction": 0.5,
        "finding": None, "found_at": None, "is_licensed": None,
    }  # fmt: skip
    return Listed(**(usual | given))  # type: ignore[arg-type]


SEEN = {"finding": "loose_connection", "found_at": datetime(2026, 7, 9), "is_licensed": True}
ROWS = (
    _listed(1, office_id="b"),
    _listed(2, office_id="b", termination_rise_k=100.0),
    _listed(3, **(SEEN | {"is_licensed": False})),
    _listed(4, **SEEN, rise_k=90.0),
    _listed(5, verdict="overload", load_fraction=1.2, poles=2),
    _listed(6, verdict="overload_and_connection", load_fraction=0.9, **SEEN),
)


def _told(record: QuarterRecord) -> dict[str, str]:
    return {one.what: one.why.replace("\u00a0", " ") for one in lines(record, SCALE)}


def test_what_is_open_comes_first_and_names_the_hottest(record: QuarterRecord) -> None:
    """20 K and 100 K are 36 and 180 °F; the hotter but examined device 4 is left out."""
    told = _told(replace(record, listed=ROWS))
    assert list(told)[:2] == [
        "Have 3 of the 5 flagged devices examined.",
        "Have the loads of 1 of the 2 overloaded devices looked at.",
    ]
    assert told["Have 3 of the 5 flagged devices examined."] == (
        "No licensed electrician has seen them yet; most are in office b (2). The hottest: panel "
        "P2, slot 4 (36 °F above the air, its termination 180 °F); panel P1, slot 4 (36 °F above "
        "the air); panel P3, slot 4 (36 °F above the air)."
    )
    assert told["Have the loads of 1 of the 2 overloaded devices looked at."].endswith(
        "It is panel P5, slots 4 and 6, at 120 % of its rating."
    )


def test_habits_come_with_what_came_of_them(record: QuarterRecord) -> None:
    row = next(row for row in record.standings if row.subject == "inspector")
    standing = replace(row, level="N1", judged_count=29, reading_count=523)
    told = _told(replace(record, listed=(), standings=(standing,)))
    why = told["Go through how to read a panel with inspector N1."]
    assert why.startswith(
        "Noted the same air in 9 of 10 (and one more habit of N1); 29 of N1’s 523"
    )


def test_a_camera_is_compared_where_it_is_named_or_beyond_the_grey(record: QuarterRecord) -> None:
    """Camera C2 stands 3 K = 5.4 °F above the others, beyond its grey of 2 K."""
    assert _told(record)["Compare camera C2 with another."].startswith("C2 reads 5.4 °F warmer")
    quiet = replace(record, trends=trends(is_quiet=True))
    assert [one.level_name for one in beyond("camera", quiet)] == ["C2"]
    assert _told(quiet)["Compare camera C2 with another."] == (
        "Camera C2 reads 5.4 °F above the others, beyond the grey; with 3 cameras compared that is "
        "not yet certain."
    )
    level = next(
        f for s in page(quiet, "degF").standings for f in s.figures if f.id == "level-camera"
    )
    assert (
        "none for certain; C2 reads 5.4 °F above the others, beyond the grey; with 3 cameras "
        "compared that is not yet certain: compare the camera. Left out: cam-"
    ) in level.sentence
    assert "diamond" not in level.spec


def test_only_the_warm_ones_are_to_be_clamped(record: QuarterRecord) -> None:
    """8 K is 14 °F; 40 and 10 warm ones, 15 and 10 of them clamped, leave 25 and none."""
    assert record.trends
    habits = tuple(
        HabitShare("clamped", name, LAST, hits, total, 0.1, 0.9)
        for name, hits, total in (("N1", 15, 40), ("N2", 10, 10))
    )
    told = _told(replace(record, listed=(), trends=replace(record.trends, habits=habits)))
    assert told["Clamp what is warm: 25 were not clamped."].startswith(
        "Of 50 devices 14 °F or more warmer than their panel’s inside air 25 were read without a "
        "current; 25 of them by N1."
    )


def test_nothing_to_do_makes_no_list(record: QuarterRecord) -> None:
    bare = replace(record, listed=(), trends=None)
    assert lines(bare, SCALE) == []
    assert "What to do next" not in render(page(bare, "degF"))


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
    assert [row[0] for row in over.rows] == ["P5", "P6"]
    assert flagged.rows[1][-2:] == ("36", "180")
    assert flagged.rows[2][5] == "not yet; loose connection, not by a licensed one"
    assert over.rows[1][5] == "2026-07-09, loose connection"
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


@pytest.mark.parametrize("unit", ["degF", "degC"])
def test_the_parts_of_a_rise_add_up(record: QuarterRecord, unit: str) -> None:
    """Whole = part of the panel + part of the current, to the last digit shown, for many cases."""
    case, told = record.cases[0], 0
    for rise in (7.4, 22.49, 33.17, 73.9):
        for ratio in (1.3, 2.15, 5.32):
            for usual in (0.6, 2.74, 14.05):
                one = replace(case, rise_k=rise, heat_ratio=ratio, usual_load_k=usual)
                words = heat_words(one, SHOWN[unit]).replace("\u00a0", " ")
                if not words:
                    assert round(SHOWN[unit].shown(ratio * usual)) > SHOWN[unit].shown(rise) - 0.5
                    continue
                whole, rest, own = (
                    int(x) for x in re.findall(r"(\d+)(?: (?:°F|K),| come| (?:°F|K) w)", words)
                )
                assert whole == rest + own == round(SHOWN[unit].shown(rise))
                told += 1
    assert told > 20


def test_no_part_is_told_where_none_is_known(record: QuarterRecord) -> None:
    case = record.cases[0]
    assert heat_words(case, SCALE)
    assert heat_words(replace(case, usual_load_k=None), SCALE) == ""
    assert heat_words(replace(case, usual_load_k=2 * case.rise_k), SCALE) == ""


def test_who_is_not_drawn_is_named(record: QuarterRecord) -> None:
    """The made-up trends know C1, C2 and C10 alone; the fleet's own cameras are not among them."""
    row = next(row for row in record.standings if row.subject == "camera" and row.judged_count)
    rows = tuple(replace(row, level=name) for name in ("C1", "C2", "C10", "C4", "not noted"))
    drifts = page(replace(record, standings=rows), "degF").drifts
    assert drifts[0].sentence.endswith(
        "Left out: C4, with too few inspections, now or earlier, in which the air temperature was "
        "really read."
    )
    assert "Left out" not in page(replace(record, standings=rows[:3]), "degF").drifts[0].sentence


def test_what_did_not_move_is_folded(record: QuarterRecord) -> None:
    made = page(record, "degF")
    assert [(one.heading.split()[0], one.is_quiet) for one in made.drifts] == [
        ("Cameras", False), ("Inspectors", True), ("Offices", True), ("Makes", True),
    ]  # fmt: skip
    folded = re.findall(r'<details class="quiet"><summary>(.*?)</summary>', render(made))
    assert folded[0] == "4 inspectors: none moved more than chance brings"
    assert len(folded) == 3


def test_the_top_says_up_to_when_devices_were_examined(record: QuarterRecord) -> None:
    assert "examined" not in page(replace(record, listed=()), "degF").days
    assert page(replace(record, listed=ROWS), "degF").days.endswith("; examined up to 2026-07-09")


def test_pages_in_the_folder_are_linked(record: QuarterRecord) -> None:
    beside = (("tuning.html", "Where to draw the lines"),)
    text = render(page(record, "degF", "", beside))
    assert '<a href="tuning.html">where to draw the lines</a>' in text
    assert "tuning.html" not in render(page(record, "degF"))


def test_a_long_list_is_cut_and_says_where_the_rest_is(record: QuarterRecord) -> None:
    many = tuple(_listed(number) for number in range(1, MOST_LISTED + 41))
    made = flagged_table(replace(record, listed=many), SCALE)
    assert made is not None
    assert len(made.rows) == MOST_LISTED
    words = heading("flagged", len(many))
    assert words == "The first 150 of 190 flagged (flagged_and_over.csv has all)"
