"""The quarterly page in a real Chromium: nothing goes out, nothing breaks, nothing sticks out."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from dashboards.pages.quarter import page
from dashboards.quarter import collect
from dashboards.render import render, write
from tests.browser.watched import (
    BUILD,
    CUT_LABELS,
    HOSTILE,
    OVERLAPPING_TICKS,
    SIZES,
    STICKS_OUT,
    opened,
    scroll_through,
)
from tests.gold.tables import LAST, small_fleet
from tests.gold.trends import trends

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = pytest.mark.browser


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
        for table, columns in (
            ("normalise.measure", ("inspection_id", "panel_id", "inspector_id", "make")),
            ("screening.result", ("inspection_id", "panel_id", "reason", "next_step")),
            ("records.reading", ("note", "panel_location")),
            ("records.quarantine", ("sentence", "code")),
        ):
            for column in columns:
                warehouse.execute(
                    f"update {table} set {column} = $text || left({column}, 1)", {"text": HOSTILE}
                )
        write(render(page(collect(warehouse, LAST, trends()), "degF")), path)
    return path


@pytest.mark.parametrize(
    ("size", "scheme"), [("phone", "light"), ("desktop", "light"), ("desktop", "dark")]
)
def test_page_is_quiet_and_fits(browser: Browser, made: Path, size: str, scheme: Any) -> None:
    BUILD.mkdir(parents=True, exist_ok=True)
    with opened(browser, made, size, color_scheme=scheme) as seen:
        scroll_through(seen.page)
        assert seen.requests == [made.as_uri()]
        assert seen.trouble == []
        assert seen.page.evaluate("document.documentElement.scrollWidth") == SIZES[size][0]
        assert seen.page.evaluate("document.querySelectorAll('.plot svg text').length") > 100
        assert seen.page.evaluate(STICKS_OUT) == []
        assert seen.page.evaluate(CUT_LABELS) == []
        assert seen.page.evaluate(OVERLAPPING_TICKS) == []
        seen.page.screenshot(path=BUILD / f"quarter-{size}-{scheme}.png", full_page=True)


def test_page_prints_on_a4(browser: Browser, made: Path) -> None:
    BUILD.mkdir(parents=True, exist_ok=True)
    with opened(browser, made, "desktop") as seen:
        printed = seen.page.pdf(path=BUILD / "quarter-a4.pdf", prefer_css_page_size=True)
        assert seen.trouble == []
        drawn = seen.page.evaluate(
            "() => [...document.querySelectorAll('[data-figure]')].map("
            "(p) => p.querySelectorAll('svg').length)"
        )
        assert drawn
        assert min(drawn) > 0
    assert printed.startswith(b"%PDF")
    assert 2 <= printed.count(b"/Type /Page\n") + printed.count(b"/Type /Page ") <= 12


def test_printed_figures_fit_their_column(browser: Browser, made: Path) -> None:
    """A4 leaves 178 mm = 673 px between the margins; figures are drawn anew for that width."""
    with opened(browser, made, "desktop") as seen:
        seen.page.emulate_media(media="print")
        seen.page.set_viewport_size({"width": 673, "height": 1000})
        seen.page.evaluate("dispatchEvent(new Event('beforeprint'))")
        wide = seen.page.evaluate(
            "() => [...document.querySelectorAll('.plot')].filter((p) => "
            "p.querySelector('svg').getBoundingClientRect().width > "
            "p.getBoundingClientRect().width + 1).map((p) => p.dataset.figure)"
        )
        assert wide == []
        seen.page.screenshot(path=BUILD / "quarter-a4.png", full_page=True)


def test_hostile_words_do_nothing(browser: Browser, hostile: Path) -> None:
    with opened(browser, hostile, "phone") as seen:
        scroll_through(seen.page)
        for dot in seen.page.query_selector_all(".scatterlayer .point")[:40]:
            box = dot.bounding_box()
            if box:
                dot.scroll_into_view_if_needed()
                dot.hover(force=True)
        assert seen.page.evaluate("window.harmed") is None
        assert seen.page.evaluate("document.querySelectorAll('img').length") == 0
        assert (
            seen.page.evaluate("document.querySelectorAll('a[href^=\"javascript\"], svg a').length")
            == 0
        )
        assert seen.requests == [hostile.as_uri()]
        assert seen.trouble == []
        assert seen.page.evaluate("document.documentElement.scrollWidth") == SIZES["phone"][0]


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
        seen.page.evaluate("document.querySelectorAll('details').forEach((d) => { d.open = true })")
        wide = seen.page.evaluate(
            "() => [...document.querySelectorAll('.scroll')].filter("
            "(s) => s.scrollWidth > s.clientWidth + 1).length"
        )
        assert wide == 0
        labels = seen.page.evaluate(
            "() => [...document.querySelectorAll('td')].map("
            "(td) => getComputedStyle(td, '::before').content)"
        )
        assert len(labels) > 100
        assert all(label not in ("none", '""', "normal") for label in labels)


def test_cases_stand_two_to_a_sheet(browser: Browser, made: Path) -> None:
    """A4 leaves 267 mm = 1009 px: on paper no card is taller than half of that."""
    with opened(browser, made, "desktop") as seen:
        scroll_through(seen.page)
        seen.page.emulate_media(media="print")
        seen.page.set_viewport_size({"width": 673, "height": 1000})
        seen.page.evaluate("dispatchEvent(new Event('beforeprint'))")
        tall = seen.page.evaluate(
            "() => [...document.querySelectorAll('.case')].map((c) => c.offsetHeight)"
        )
        assert tall
        assert max(tall) <= 504
