"""The quarterly page: what it says in odd situations, and that nothing on it can do harm."""

from __future__ import annotations

import base64
import hashlib
import html
import json
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from analytics.errors import UsageError
from analytics.notices import SHORT_CAUTION
from analytics.warehouse import Warehouse, open_store
from dashboards.pages.quarter import page
from dashboards.pages.quarter_referrals import sentence
from dashboards.quarter import collect, last_quarter
from dashboards.quarter_records import QuarterRecord, Referral
from dashboards.render import foot, names_kept, render, write
from tests.dashboards.reader import (
    HOSTILE,
    assert_cautions_and_no_promise,
    assert_stays_text,
    spoil,
    told_figures,
    words_of,
)
from tests.gold.tables import LAST, small_fleet


@pytest.fixture
def warehouse() -> Iterator[Warehouse]:
    with small_fleet() as store:
        yield store


def _page_of(store: Warehouse, quarter: str = LAST) -> str:
    return words_of(render(page(collect(store, quarter), "degF")))


def test_the_headline_comes_first(text: str) -> None:
    words = words_of(text)
    order = [
        "In 2026Q3, 5 panels were scanned",
        "3 were flagged , 27 % (95 % interval 9.7 to 57 %)",
        "Flagged devices neither rose nor fell for certain : 27 % after 25 % in 2026Q2, like for "
        "like +2.00 points (−1.00 to +5.00: no more than chance brings), in 2026Q3 3.00 times what "
        "earlier quarters had (2.40 to 3.60); ",
        "devices over the current limit fell : 18 % after 25 % in 2026Q2, like for like −3.00 "
        "points (−5.50 to −0.50). ",
        "Of 40 comparisons of cameras, inspectors, offices, makes, classes and the firm 7 show "
        "more than chance brings : ",
        SHORT_CAUTION,
        "Share flagged of the readings that could be judged: between",
    ]
    places = [words.find(part) for part in order]
    assert -1 not in places
    assert places == sorted(places)


def test_sections_stand_in_order(text: str) -> None:
    found = re.findall(r"<h2>(.*?)</h2>", text)
    assert found == [
        "What to do next",
        "What changed",
        "Where it stands apart",
        "Cases to act on",
        "What electricians found",
        "What could not be judged",
        "Data quality",
        "Method and versions",
        "Cautions",
    ]


def test_cautions_are_there_and_promises_are_not(text: str) -> None:
    assert_cautions_and_no_promise(text)


def test_each_figure_has_a_sentence_and_a_table(text: str) -> None:
    assert all(figure.count("<tbody>") == 1 for figure in told_figures(text))


def test_data_blocks_are_json(text: str) -> None:
    blocks = re.findall(r'<script type="application/json"[^>]*>(.*?)</script>', text)
    assert blocks
    for block in blocks:
        assert set(json.loads(block)) == {"data", "layout"}


def test_only_the_pages_own_scripts_may_run(text: str) -> None:
    policy = re.search(r'http-equiv="Content-Security-Policy" content="([^"]*)"', text)
    assert policy
    allowed = set(re.findall(r"sha256-([A-Za-z0-9+/=]+)", html.unescape(policy[1])))
    scripts = re.findall(r"<script>(.*?)</script>", text, flags=re.DOTALL)
    hashes = {base64.b64encode(hashlib.sha256(s.encode()).digest()).decode() for s in scripts}
    assert hashes == allowed
    assert html.unescape(policy[1]).startswith("default-src 'none';")
    assert "unsafe" not in policy[1].split("style-src")[0]
    assert "unsafe-eval" not in policy[1]


def test_page_is_small_and_the_same_each_time(record: QuarterRecord, text: str) -> None:
    assert len(text.encode()) < 6_000_000
    assert render(page(record, "degF")) == text


def test_rises_are_shown_in_the_chosen_unit(record: QuarterRecord, text: str) -> None:
    """Reading 47 rose 12.30 K = 22.1 °F; usual there 4.20 to 8.57 K = 7.6 to 15.4 °F."""
    assert "usually rises 8 to 15 °F (19 healthy ones in 20); this one rose 22 °F." in words_of(
        text
    )
    metric = words_of(render(page(record, "degC")))
    assert "usually rises 4 to 9 K (19 healthy ones in 20); this one rose 12 K." in metric
    with pytest.raises(UsageError):
        page(record, "kelvin")


def test_a_quarter_without_readings_says_so(warehouse: Warehouse) -> None:
    words = _page_of(warehouse, "2026Q1")
    assert "There are no judged readings of 2026Q1." in words
    assert "Quarters with readings: 2025Q4, 2026Q2, 2026Q3." in words
    assert "Cautions" in words


def test_the_first_quarter_has_nothing_to_compare(warehouse: Warehouse) -> None:
    words = _page_of(warehouse, "2025Q4")
    assert "This is the first quarter in the store, so there is no change to report." in words
    assert "In 2025Q4, 1 panel was scanned with 8 readings" in words
    assert "there is nothing to compare" in words


def test_a_gap_before_is_named(warehouse: Warehouse) -> None:
    words = _page_of(warehouse, "2026Q2")
    assert "Nothing of 2026Q1 could be judged, so there is no change to report." in words


def test_no_findings(warehouse: Warehouse) -> None:
    warehouse.execute(
        "update screening.result set verdict = 'normal' where verdict = 'suspect_connection'"
    )
    words = _page_of(warehouse)
    assert "none was flagged (95 % interval 0.0 to" in words
    assert "No reading of this quarter was flagged." in words
    assert "nothing found is no certificate" in words


def test_nothing_judged(warehouse: Warehouse) -> None:
    warehouse.execute("update screening.result set verdict = 'cannot_judge'")
    words = _page_of(warehouse)
    assert "none could be judged , so nothing can be said" in words
    assert "Nothing could be judged, so no share flagged can be drawn." in words
    assert "No class has a reading that could be judged." in words


def test_one_inspection(warehouse: Warehouse) -> None:
    for table in ("normalise.measure", "screening.result"):
        warehouse.execute(f"delete from {table} where inspection_id <> 'i005'")
    words = _page_of(warehouse)
    assert "In 2026Q3, 1 panel was scanned with 11 readings" in words
    assert "1 was flagged" in words
    assert "The one flagged reading." in words


def test_readings_without_verdict_are_named(warehouse: Warehouse) -> None:
    warehouse.execute("delete from screening.result where reading_id = 3")
    words = _page_of(warehouse)
    assert "1 reading of the store came in after the last screening and is on no page yet" in words


def test_another_baseline_in_force_draws_no_band(warehouse: Warehouse) -> None:
    warehouse.execute(
        "insert into records.baseline_version select * replace ('b0' as baseline_version, "
        "fitted_at + interval 1 day as fitted_at) from records.baseline_version"
    )
    words = _page_of(warehouse)
    assert "The baseline that judged this reading is no longer in force" in words
    assert "usually rises" not in words


def test_a_neighbour_that_is_flagged_is_named(warehouse: Warehouse) -> None:
    warehouse.execute(
        "update screening.result set verdict = 'suspect_connection', probability = 0.6 "
        "where reading_id = 49"
    )
    warehouse.execute(
        "update screening.result set load_fraction = 0.3, expected_rise_k = 5, lower_k = 4, "
        "upper_k = 8, heat_ratio = 2, score = 0.5 where reading_id = 49"
    )
    assert "Its neighbour in slot 9 is flagged too" in _page_of(warehouse)


def test_every_level_is_in_the_table_where_not_all_are_drawn(record: QuarterRecord) -> None:
    row = next(row for row in record.standings if row.subject == "office")
    many = [replace(row, level=f"office-{i}", judged_count=100 + i) for i in range(40)]
    made = page(replace(record, standings=tuple(many), trends=None), "degF")
    (shown,) = next(one.figures for one in made.standings if one.heading == "By office")
    assert "The 24 with the most readings are drawn; the table has all 40." in shown.sentence
    assert [r[0] for r in shown.table.rows] == [f"office-{i}" for i in range(40)]


def test_hostile_text_stays_text(warehouse: Warehouse) -> None:
    tables = {
        "normalise.measure": ("inspection_id", "panel_id", "office_id", "camera_id", "make"),
        "screening.result": ("inspection_id", "panel_id", "reason"),
        "records.reading": ("note", "panel_location"),
        "records.quarantine": ("sentence", "code"),
        "records.recheck": ("sentence", "code"),
    }
    spoil(warehouse, tables, HOSTILE)
    outside = assert_stays_text(render(page(collect(warehouse, LAST), "degF")))
    assert "49" not in re.findall(r"<h3>.*?</h3>", outside)[-1]


def test_a_store_without_verdicts_is_told_apart() -> None:
    with open_store() as store:
        words = words_of(render(page(collect(store, LAST), "degF")))
        assert "No reading in this store has been judged yet. Run loadrise fit, then" in words
        assert "then this page tells of 2026Q3." in words
        with pytest.raises(UsageError, match="no quarter"):
            collect(store, "2026-Q3")


def test_last_quarter_heeds_no_contradiction(warehouse: Warehouse) -> None:
    assert last_quarter(warehouse) == LAST
    warehouse.execute(
        "update screening.result set verdict = 'recheck' where reading_id in (select reading_id "
        "from normalise.measure where quarter = '2026Q3')"
    )
    assert last_quarter(warehouse) == "2026Q2"


def test_a_page_is_written_whole(tmp_path: Path) -> None:
    path = tmp_path / "new" / "page.html"
    write("one", path)
    write("two", path)
    assert path.read_text(encoding="utf-8") == "two"
    assert [entry.name for entry in path.parent.iterdir()] == ["page.html"]


def test_findings_without_a_licence_stand_apart(record: QuarterRecord) -> None:
    one = Referral(LAST, 25, 6, 3, 1, 0, 2, 2, 10.0, 25.5, 0.3, 0.903)
    words = sentence(replace(record, referrals=(one,))).replace("\u00a0", " ")
    assert words.startswith(
        "Of 25 flagged readings, 6 examined by licensed electricians so far: 4 had a loose "
        "connection or a device fault, 67 % (30 to 90 %), 2 showed nothing; of the 6 examined "
        "half were seen within 10 days of the scan, nine in ten within 26. 19 devices are still to "
        "be examined, 2 of them looked at by someone without a licence."
    )
    lone = replace(one, examined_count=1, loose_count=1, device_count=0, nothing_count=0)
    assert "; it was seen 10 days after the scan. 24 devices" in sentence(
        replace(record, referrals=(lone,))
    )
    none = replace(one, examined_count=0, loose_count=0, device_count=0, nothing_count=0)
    assert "No finding of an electrician" in sentence(replace(record, referrals=(none,)))
    both = replace(record, referrals=(replace(one, quarter="2026Q2"), none))
    assert sentence(both).startswith(
        "None of the 25 flagged readings of 2026Q3 was examined by a licensed electrician yet. 25 "
        "devices are still to be examined, 2 of them looked at by someone without a licence. Of "
        "2026Q2: 6 examined"
    )


def test_names_are_kept_whole_and_stay_what_they_are() -> None:
    page = (
        '<style>a-b {}</style><p title="cam-north-3">cam-north-3’s, 2026-07-24 (p-1) - x</p>'
        "<script>x = cam-north-3 < '</style>' - 1</script><script>a-b</script>" + "n-" * 20 + "n"
    )
    kept = names_kept(page)
    assert (
        '<p title="cam-north-3"><bdi>cam-north-3</bdi>’s, <bdi>2026-07-24</bdi> (<bdi>p-1' in kept
    )
    assert kept.replace("<bdi>", "").replace("</bdi>", "") == page
    assert kept.count("<bdi>") == 3
    assert names_kept('<p title="95 %">95 % of 3 K</p>') == (
        '<p title="95 %">95\u00a0% of 3\u00a0K</p>'
    )


def test_every_sheet_carries_caution_and_number(text: str) -> None:
    style = re.findall(r"<style>(.*?)</style>", text, flags=re.DOTALL)
    assert f'@bottom-left {{ content: "{SHORT_CAUTION}"; }}' in style[0]
    assert 'counter(page) " / " counter(pages)' in style[0]
    assert 'content: "a \\"b\\" \\\\c";' in foot('a "b" \\c')
