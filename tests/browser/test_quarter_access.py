"""The quarterly page and the index: fit, quiet, and nothing that axe-core objects to."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from dashboards.pages.quarter import page
from dashboards.pages.quarter_index import index_page
from dashboards.quarter import collect
from dashboards.render import render, write
from tests.browser.watched import (
    SIZES,
    assert_axe_finds_nothing,
    assert_fits,
    opened,
    scroll_through,
    unfold,
)
from tests.gold.tables import LAST, small_fleet
from tests.gold.trends import trends

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("pages")
    with small_fleet() as store:
        record = collect(store, LAST, trends())
    quarter, index = folder / "quarter.html", folder / "index.html"
    write(render(page(record, "degF")), quarter)
    write(render(index_page(record, {LAST: quarter.name}), "index"), index)
    return {"quarter": quarter, "index": index}


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("kind", ["quarter", "index"])
def test_axe_finds_nothing(browser: Browser, made: dict[str, Path], kind: str, scheme: Any) -> None:
    with opened(browser, made[kind], "phone", color_scheme=scheme) as seen:
        scroll_through(seen.page)
        unfold(seen.page)
        assert_axe_finds_nothing(seen.page, 15)


SHOWN = """() => [...document.querySelectorAll("details")].map((d) =>
  [d.className, [...d.querySelectorAll("table")].some((t) => t.checkVisibility({
    contentVisibilityAuto: true, visibilityProperty: true}))])"""


@pytest.mark.parametrize("is_scripted", [True, False])
def test_paper_shows_the_work_and_nothing_else_that_is_folded(
    browser: Browser, made: dict[str, Path], is_scripted: bool
) -> None:
    """Folded on the screen, both work lists are there in print, with and without scripts."""
    with opened(browser, made["quarter"], "desktop", java_script_enabled=is_scripted) as seen:
        assert not any(is_shown for _, is_shown in seen.page.evaluate(SHOWN))
        seen.page.emulate_media(media="print")
        seen.page.wait_for_timeout(500)
        shown = seen.page.evaluate(SHOWN)
        assert [kind for kind, is_shown in shown if is_shown] == ["work", "work"]
        assert not seen.page.locator("summary").locator("visible=true").count()
        assert seen.page.locator("p.onpaper").is_visible()


@pytest.mark.parametrize("size", SIZES)
def test_the_index_is_quiet_and_fits(browser: Browser, made: dict[str, Path], size: str) -> None:
    with opened(browser, made["index"], size) as seen:
        assert_fits(seen, f"index-{size}")
        seen.page.click("ol.quarters a")
        assert seen.page.url == made["quarter"].as_uri()
        seen.page.wait_for_selector("h1:has-text('2026Q3')")
