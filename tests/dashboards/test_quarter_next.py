"""What to do next, what became of each device, and the sentence on where its heat comes from."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date

import pytest

from analytics.notices import URGENT
from analytics.policy import default_policy
from analytics.trends.records import HabitShare
from dashboards.pages.quarter import SHOWN, page
from dashboards.pages.quarter_beside import beyond
from dashboards.pages.quarter_cases import heat_words
from dashboards.pages.quarter_next import lines
from dashboards.quarter_found import Chance, MadeFound, VerdictFound
from dashboards.quarter_kept import Known
from dashboards.quarter_records import QuarterRecord, Referral
from dashboards.render import render
from tests.dashboards.rows import ROWS, listed_row
from tests.gold.tables import LAST
from tests.gold.trends import trends

SCALE = SHOWN["degF"]


def _told(record: QuarterRecord) -> dict[str, str]:
    found = lines(record, SCALE)
    return {one.what.replace("\u00a0", " "): one.why.replace("\u00a0", " ") for one in found}


def test_what_is_open_comes_first_in_the_order_of_the_list(record: QuarterRecord) -> None:
    """20 K and 100 K are 36 and 180 °F; what is examined is left out."""
    held = replace(record, listed=ROWS, known=Known(date(2026, 10, 20), 0), referrals=())
    told = _told(held)
    assert list(told)[:2] == [
        "Have 3 of the 5 flagged devices examined.",
        "Refer 1 device over the rating; "
        "for 1 of the 2 over 80 % of the rating ask how long the load runs.",
    ]
    assert told["Have 3 of the 5 flagged devices examined."] == (
        "No licensed electrician has examined them yet; someone without a licence looked at 1; the "
        "longest has waited 111 days by 2026-10-20. First in the list: panel P1, slot 4 (36 °F "
        "above the air; chance of a fault 90 %); panel P2, slot 4 (36 °F above the air, its "
        "termination 180 °F; chance of a fault 90 %); panel P3, slot 4 (36 °F above the air; "
        "chance of a fault 90 %)."
    )
    why = next(why for what, why in told.items() if what.startswith("Refer"))
    assert "only where it runs three hours or more at a time: then refer it, else keep" in why
    assert why.endswith("The most loaded: panel P5, slots 4 and 6, at 120 % of its rating.")


def _referral(quarter: str, flagged: int, examined: int) -> Referral:
    return Referral(quarter, flagged, examined, 0, 0, 0, examined, 0, 5.0, 9.0, 0.1, 0.9)


def test_what_waits_of_earlier_quarters_stands_beside(record: QuarterRecord) -> None:
    """3 of this quarter, 25 − 20 and 7 − 7 of earlier ones: 8 wait, the oldest since 2025Q4."""
    earlier = (_referral("2025Q3", 7, 7), _referral("2025Q4", 25, 20), _referral(LAST, 5, 2))
    held = replace(record, listed=ROWS, referrals=earlier)
    first = "Have 3 of the 5 flagged devices examined; with earlier quarters 8 wait, the oldest "
    told = _told(held)
    assert next(iter(told)) == f"{first}since 2025Q4."
    assert next(iter(told.values())).endswith("one flagged in two quarters counts in both.")
    alone = lines(replace(held, listed=()), SCALE)[0]
    assert alone.what == (
        "Have 5 flagged devices of earlier quarters examined; the oldest waits since 2025Q4."
    )
    assert alone.href == "#found"
    done = _told(replace(held, referrals=(_referral("2025Q3", 7, 7),)))
    assert next(iter(done)) == "Have 3 of the 5 flagged devices examined."


def test_missed_faults_call_for_something_where_they_are_many(record: QuarterRecord) -> None:
    """Wilson's low end of 9 in 20 is 26 %, of 4 in 20 it is 8 %, under one in five."""
    rows = (
        VerdictFound("suspect_connection", True, 40, 20, 11, 0),
        VerdictFound("normal", False, 900, 90, 3, 0),
        VerdictFound("cannot_judge", False, 2000, 70, 6, 5),
    )
    low = Chance(0.1, 90, 12, 0, 78, 12.4, 10.0, 0.1, 0.2)
    told = _told(replace(record, verdicts=rows, chances=(low,)))
    assert told["Miss fewer faults: 9 of 20 confirmed ones had not been flagged."] == (
        "5 of them were read without a current: clamp what is warm. For the 3 judged normal weigh "
        "where the lines lie (loadrise tune). As only some were examined, the share missed may be "
        "larger or smaller."
    )
    off = _told(replace(record, verdicts=rows, chances=(replace(low, expected=3.0),)))
    assert (
        "For the 3 judged normal mend the stated chances first (loadrise recalibrate), as those "
        "below 30 % did not come true, then weigh where the lines lie (loadrise tune)."
    ) in off["Miss fewer faults: 9 of 20 confirmed ones had not been flagged."]
    few = (replace(rows[0], confirmed_count=16), replace(rows[1], confirmed_count=4))
    assert not any(what.startswith("Miss") for what in _told(replace(record, verdicts=few)))


def test_the_urgent_signs_stand_beside_what_to_do(record: QuarterRecord) -> None:
    text = render(page(record, "degF"))
    part = text.split("<h2>What to do next</h2>")[1].split("<ol")[0]
    assert URGENT in part
    assert text.count(URGENT) == 2


def test_what_is_flagged_for_a_limit_says_so(record: QuarterRecord) -> None:
    rows = (listed_row(1, probability=0.004),)
    held = replace(record, listed=rows, trends=None, referrals=())
    assert _told(held)["Have 1 flagged device examined."].endswith(
        "It is panel P1, slot 4 (36 °F above the air; chance of a fault under 1 %, flagged for a "
        "limit)."
    )


def _loads_of(record: QuarterRecord, **given: object) -> dict[str, str]:
    rows = tuple(listed_row(n, verdict="overload", **given) for n in (1, 2))
    return _told(replace(record, listed=rows, trends=None, referrals=()))


def test_loads_over_their_rating_are_not_those_to_ask_about(record: QuarterRecord) -> None:
    """NEC article 100: continuous is three hours; at 200 minutes the reading itself says so."""
    over = _loads_of(record, load_fraction=1.1, is_over_rating=True)
    assert list(over) == ["Refer 2 devices over the rating."]
    assert "three hours" not in over["Refer 2 devices over the rating."]
    (asked,) = _loads_of(record, load_fraction=0.9, load_minutes=200.0).items()
    assert asked[0] == "For 2 over 80 % of the rating ask how long the load runs."
    assert "2 of them had run three hours when read: refer those." in asked[1]


def test_limits_are_those_of_the_policy(record: QuarterRecord) -> None:
    policy = default_policy().moved(load_any_share=1.1, load_continuous_share=0.7)
    rows = (*(listed_row(n, verdict="overload", load_fraction=0.9) for n in (1, 2)),
            listed_row(3, verdict="overload", load_fraction=1.2, is_over_rating=True))  # fmt: skip
    held = replace(record, listed=rows, trends=None, policy=policy, referrals=())
    assert list(_told(held)) == [
        "Refer 1 device over 110 % of the rating; "
        "for 2 over 70 % of the rating ask how long the load runs."
    ]


def test_habits_come_with_what_came_of_them(record: QuarterRecord) -> None:
    row = next(row for row in record.standings if row.subject == "inspector")
    standing = replace(
        row, level="N1", judged_count=29, reading_count=523, judged_low=0.039, judged_high=0.078
    )
    told = _told(replace(record, listed=(), standings=(standing,)))
    why = told["Go through how to read a panel with inspector N1; hear the inspector first."]
    assert why.startswith(
        "Noted the same air in 9 of 10 (and one more habit of N1); 29 of N1’s 523 readings could "
        "be judged (5.5 %, 95 % interval 3.9 to 7.8 %; in the whole firm"
    )
    assert why.endswith("A broken thermometer or a kind of job may explain it.")


def test_a_habit_says_since_when_without_a_break(record: QuarterRecord) -> None:
    """Signals in 2025Q3, 2026Q1 and 2026Q2, none in 2025Q4: three quarters with this one."""
    assert record.trends
    now = next(one for one in record.trends.signals if one.level_name == "N1")
    own = [replace(now, quarter=one) for one in ("2025Q3", "2026Q1", "2026Q2")]
    held = replace(record.trends, signals=(*own, *record.trends.signals))
    told = _told(replace(record, listed=(), trends=held))
    why = told["Go through how to read a panel with inspector N1; hear the inspector first."]
    assert "(and one more habit of N1), since 2026Q1, three quarters" in why


def test_a_make_that_runs_hot_is_looked_into_with_care(record: QuarterRecord) -> None:
    makes = (MadeFound("Ostrel", 90, 60, 40), MadeFound("Tamridge", 9, 7, 1))
    why = _told(replace(record, listed=(), makes=makes))["Find out why make Tamridge runs hotter."]
    assert why == (
        "Runs 30 % hotter. Heat alone cannot tell a trait of the make from that of its "
        "terminations; of its flagged devices 1 of 7 examined were confirmed over all quarters, of "
        "the other makes’ 40 of 60. Have a sample of its devices examined; it speaks of the make "
        "on average, not of any one device."
    )
    assert record.trends
    cool = tuple(replace(one, size=-0.2) for one in record.trends.signals)
    held = replace(record, trends=replace(record.trends, signals=cool))
    assert not any("make Tamridge" in what for what in _told(held))


def test_a_camera_is_compared_where_it_is_named_or_beyond_the_grey(record: QuarterRecord) -> None:
    """Camera C2 stands 3 K = 5.4 °F above the others, beyond its grey of 2 K."""
    assert _told(record)["Compare camera C2 with another."].startswith("C2 reads 5.4 °F warmer")
    quiet = replace(record, trends=trends(is_quiet=True))
    assert [one.level_name for one in beyond("camera", quiet)] == ["C2"]
    assert _told(quiet)["Compare camera C2 with another."] == (
        "Camera C2 reads 5.4 °F above the others, more than is usual; with 3 cameras compared that "
        "is not yet certain."
    )
    level = next(
        f for s in page(quiet, "degF").standings for f in s.figures if f.id == "level-camera"
    )
    assert (
        "none for certain; C2 reads 5.4 °F above the others, beyond the grey; with 3 cameras "
        "compared that is not yet certain: compare the camera. Left out: cam-"
    ) in level.sentence
    assert not level.has_apart


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
        "current; 25 of them by N1. What is cool beside them needs no clamp"
    )


def test_nothing_to_do_makes_no_list(record: QuarterRecord) -> None:
    bare = replace(record, listed=(), trends=None, referrals=())
    assert lines(bare, SCALE) == []
    assert "What to do next" not in render(page(bare, "degF"))


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
