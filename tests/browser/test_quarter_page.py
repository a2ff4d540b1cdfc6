"""The quarterly page in a real Chromium: nothing goes out, nothing breaks, nothing sticks out."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from dashboards.pages.quarter import page
from dashboards.quarter import collect
from dashboards.render import render, write
from tests.browser.watched import (
    CUT_TABLES,
    HOSTILE,
    LOOKS,
    assert_fits,
    assert_fits_on_paper,
    assert_nothing_ran,
    assert_prints,
    lay_on_paper,
    opened,
    scroll_through,
    unfold,
)
from tests.dashboards.reader import spoil
from tests.gold.tables import LAST, small_fleet
from tests.gold.trends import trends

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = pytest.mark.browser
SPOILT = {
    "normalise.measure": ("inspection_id", "panel_id", "inspector_id", "make"),
    "screening.result": ("inspection_id", "panel_id", "reason", "next_step"),
    "records.reading": ("note", "panel_location"),
    "records.quarantine": ("sentence", "code"),
}


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("page") / "quarter.html"
    with small_fleet() as warehouse:
        write(render(page(collect(warehouse, LAST, trends()), "degF")), path)
    return path


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("hostile") / "quarter.html"
    with small_fleet() as warehouse:
        spoil(warehouse, SPOILT, HOSTILE, "left({column}, 1)")
        write(render(page(collect(warehouse, LAST, trends()), "degF")), path)
    return path


@LOOKS
def test_page_is_quiet_and_fits(browser: Browser, made: Path, size: str, scheme: Any) -> None:
    with opened(browser, made, size, color_scheme=scheme) as seen:
        assert_fits(seen, f"quarter-{size}-{scheme}", 100)


def test_page_prints_on_a4(browser: Browser, made: Path) -> None:
    with opened(browser, made, "desktop") as seen:
        printed = assert_prints(seen, "quarter")
    assert 2 <= printed.count(b"/Type /Page\n") + printed.count(b"/Type /Page ") <= 12


def test_printed_figures_fit_their_column(browser: Browser, made: Path) -> None:
    with opened(browser, made, "desktop") as seen:
        assert_fits_on_paper(seen, "quarter")


def test_hostile_words_do_nothing(browser: Browser, hostile: Path) -> None:
    with opened(browser, hostile, "phone") as seen:
        scroll_through(seen.page)
        for dot in seen.page.query_selector_all(".scatterlayer .point")[:40]:
            box = dot.bounding_box()
            if box:
                dot.scroll_into_view_if_needed()
                dot.hover(force=True)
        assert_nothing_ran(seen)


def test_foreign_scripts_are_refused(browser: Browser, made: Path) -> None:
    """What slipped through would still not run: the policy of the page refuses it."""
    with opened(browser, made, "phone") as seen:
        seen.page.evaluate(
            """() => {
              const script = document.createElement("script");
              script.textContent = "window.harmed = 1";
              document.body.append(script);
              const image = document.createElement("img");
              image.src = "http://127.0.0.1:9/x.png";
              document.body.append(image);
            }"""
        )
        assert seen.page.evaluate("window.harmed") is None
        assert sum("Content Security Policy" in text for text in seen.trouble) >= 2


def test_hover_tells_the_numbers(browser: Browser, made: Path) -> None:
    with opened(browser, made, "desktop") as seen:
        point = seen.page.wait_for_selector("[data-figure=data-change-flagged] .point")
        assert point
        point.hover(force=True)
        label = seen.page.wait_for_selector("[data-figure=data-change-flagged] .hovertext")
        assert label
        assert "of" in label.text_content()
        assert "judged" in label.text_content()


def test_the_page_reads_without_scripts(browser: Browser, made: Path) -> None:
    with opened(browser, made, "phone", java_script_enabled=False) as seen:
        summary = seen.page.locator("summary").first
        summary.click()
        assert seen.page.locator("details[open] table").first.is_visible()


def test_tables_stack_on_a_phone(browser: Browser, made: Path) -> None:
    """No column is lost: each cell stands in full width under the words of its header."""
    with opened(browser, made, "phone") as seen:
        unfold(seen.page)
        assert seen.page.evaluate(CUT_TABLES, ".scroll") == []
        labels = seen.page.evaluate(
            "() => [...document.querySelectorAll('td')].map("
            "(td) => getComputedStyle(td, '::before').content)"
        )
        assert len(labels) > 100
        assert all(label not in ("none", '""', "normal") for label in labels)


def test_cases_stand_two_to_a_sheet(browser: Browser, made: Path) -> None:
    """A4 leaves 262 mm = 990 px: two cards with 12 px under each, none taller than 483 px."""
    with opened(browser, made, "desktop") as seen:
        scroll_through(seen.page)
        lay_on_paper(seen.page)
        tall = seen.page.evaluate(
            "() => [...document.querySelectorAll('.case')].map((c) => c.offsetHeight)"
        )
        assert tall
        assert max(tall) <= 483


SPLIT = """() => [...document.querySelectorAll("#next, #next li, #next h2")].map((e) =>
  [e.tagName, getComputedStyle(e).breakInside, getComputedStyle(e).breakAfter])"""


def test_the_list_of_next_steps_breaks_between_its_items(browser: Browser, made: Path) -> None:
    with opened(browser, made, "desktop") as seen:
        lay_on_paper(seen.page)
        (section, heading, *items) = seen.page.evaluate(SPLIT)
        assert section == ["SECTION", "auto", "auto"]
        assert heading[0] == "H2"
        assert heading[2] == "avoid"
        assert items
        assert {tuple(one) for one in items} == {("LI", "avoid", "auto")}


def test_no_slot_or_number_is_broken_in_the_work_list_on_paper(
    browser: Browser, made: Path
) -> None:
    """Slots and numbers keep to one line, numbers 5 px (4 pt) from what is left of them."""
    with opened(browser, made, "desktop") as seen:
        lay_on_paper(seen.page)
        cells = seen.page.evaluate(
            """() => [...document.querySelectorAll(".work td:nth-child(2), .work td.number")].map(
              (td) => [td.textContent, getComputedStyle(td)]).map(([text, style]) =>
              [text, style.whiteSpace, style.textAlign === "right" ? style.paddingLeft : ""])"""
        )
        assert any(", " in text for text, _, _ in cells)
        assert {space for _, space, _ in cells} == {"nowrap"}
        rooms = [float(room.removesuffix("px")) for _, _, room in cells if room]
        assert min(rooms) >= 5
