"""How the quarterly page is laid out: names clear of dots, long things folded, cards whole."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from dashboards.pages.quarter import page
from dashboards.quarter import collect
from dashboards.quarter_records import QuarterRecord
from dashboards.render import render, write
from tests.browser.watched import lay_on_paper, opened, scroll_through, unfold
from tests.gold.tables import LAST, small_fleet
from tests.gold.trends import trends

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = pytest.mark.browser
NAMES = {
    "C1": "thermal-imager-of-the-northern-office-01",
    "C2": "thermal-imager-of-the-northern-office-02",
    "C10": "\u05de\u05e6\u05dc\u05de\u05d4-3",
    "N1": "an-inspector-whose-name-takes-up-the-row",
    "Ostrel": "\u05d0\u05d5\u05e1\u05d8\u05e8\u05dc",
}
"""Names of 40 letters, and names that are written from right to left."""
TOUCHING = """() => [...document.querySelectorAll(".plot")].flatMap((plot) => {
  const boxes = (what) => [...plot.querySelectorAll(what)].map((e) => e.getBoundingClientRect())
    .filter((b) => b.width > 0);
  const names = boxes(".annotation-text, .ytick text");
  const rest = boxes(".scatterlayer .point");
  const meet = (a, b) => a.left < b.right - 1 && b.left < a.right - 1
    && a.top < b.bottom - 1 && b.top < a.bottom - 1;
  return names.flatMap((name, i) => [...names.slice(i + 1), ...rest]
    .filter((other) => meet(name, other)).map(() => plot.dataset.figure));
})"""
TORN = """() => [...document.querySelectorAll(".card, figure, .case")]
  .filter((e) => e.offsetHeight && getComputedStyle(e).breakInside !== "avoid")
  .map((e) => e.className)"""


def _named(record: QuarterRecord) -> QuarterRecord:
    """Return the record with long names and such from right to left, one interval cut."""
    known = record.trends
    assert known
    standings = tuple(
        replace(one, level_name=NAMES.get(one.level_name, one.level_name), high=9.0)
        for one in known.standings
    )
    points = tuple(
        replace(one, level_name=NAMES.get(one.level_name, one.level_name)) for one in known.points
    )
    habits = tuple(
        replace(one, inspector=NAMES.get(one.inspector, one.inspector)) for one in known.habits
    )
    return replace(record, trends=replace(known, standings=standings, points=points, habits=habits))


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("layout") / "quarter.html"
    with small_fleet() as store:
        write(render(page(_named(collect(store, LAST, trends())), "degF")), path)
    return path


@pytest.mark.parametrize("size", ["phone", "desktop"])
def test_names_touch_nothing(browser: Browser, made: Path, size: str) -> None:
    with opened(browser, made, size) as seen:
        scroll_through(seen.page)
        unfold(seen.page)
        assert seen.page.evaluate("document.querySelectorAll('.annotation-text').length") > 8
        assert seen.page.evaluate(TOUCHING) == []


def test_names_touch_nothing_on_paper(browser: Browser, made: Path) -> None:
    with opened(browser, made, "desktop") as seen:
        scroll_through(seen.page)
        lay_on_paper(seen.page)
        assert seen.page.evaluate(TOUCHING) == []
        assert seen.page.evaluate(TORN) == []


def test_a_cut_interval_is_told_in_the_table(browser: Browser, made: Path) -> None:
    with opened(browser, made, "desktop") as seen:
        cells = seen.page.evaluate(
            "() => [...document.querySelectorAll('td')].map((td) => td.textContent)"
        )
        assert "0.40 to 9.00, beyond the figure" in cells


def test_what_is_long_is_folded_on_a_phone_and_nowhere_else(browser: Browser, made: Path) -> None:
    folded = "() => document.querySelectorAll('details.fold').length"
    shown = "() => document.querySelectorAll('[data-fold]').length"
    with opened(browser, made, "phone") as seen:
        assert seen.page.evaluate(folded) == seen.page.evaluate(shown) > 5
        fold = seen.page.locator("#apart details.fold").first
        assert not fold.locator("figure").first.is_visible()
        fold.locator("summary").first.click()
        assert fold.locator("figure").first.is_visible()
        seen.page.evaluate("dispatchEvent(new Event('beforeprint'))")
        assert seen.page.evaluate(folded) == 0
        seen.page.evaluate("dispatchEvent(new Event('afterprint'))")
        assert seen.page.evaluate(folded) == seen.page.evaluate(shown)
    with opened(browser, made, "desktop") as seen:
        assert seen.page.evaluate(folded) == 0
        assert seen.page.locator("#apart figure").first.is_visible()


def test_every_figure_is_drawn_without_scrolling(browser: Browser, made: Path) -> None:
    with opened(browser, made, "phone") as seen:
        seen.page.wait_for_function(
            "() => [...document.querySelectorAll('[data-figure]')]"
            ".every((p) => p.querySelector('svg'))"
        )
        assert seen.page.evaluate("scrollY") == 0


def test_a_table_that_scrolls_says_so(browser: Browser, made: Path) -> None:
    with opened(browser, made, "desktop") as seen:
        seen.page.set_viewport_size({"width": 640, "height": 800})
        unfold(seen.page)
        wide = seen.page.evaluate(
            """() => [...document.querySelectorAll(".scroll")].map((e) =>
              [e.scrollWidth > e.clientWidth + 1, getComputedStyle(e, "::before").content])"""
        )
        assert any(is_wide for is_wide, _ in wide)
        assert all(("scroll sideways" in words) == is_wide for is_wide, words in wide)
