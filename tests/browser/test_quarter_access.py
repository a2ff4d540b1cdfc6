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
    BUILD,
    CUT_LABELS,
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
    from axe_playwright_python.sync_playwright import Axe

    with opened(browser, made[kind], "phone", color_scheme=scheme) as seen:
        scroll_through(seen.page)
        seen.page.evaluate("document.querySelectorAll('details').forEach((d) => { d.open = true })")
        found = Axe().run(seen.page).response
        told = [f"{v['id']}: {n['html'][:120]}" for v in found["violations"] for n in v["nodes"]]
        assert told == []
        assert len(found["passes"]) > 15


@pytest.mark.parametrize("size", SIZES)
def test_the_index_is_quiet_and_fits(browser: Browser, made: dict[str, Path], size: str) -> None:
    BUILD.mkdir(parents=True, exist_ok=True)
    with opened(browser, made["index"], size) as seen:
        scroll_through(seen.page)
        assert seen.requests == [made["index"].as_uri()]
        assert seen.trouble == []
        assert seen.page.evaluate("document.documentElement.scrollWidth") == SIZES[size][0]
        for check in (STICKS_OUT, CUT_LABELS, OVERLAPPING_TICKS):
            assert seen.page.evaluate(check) == []
        seen.page.screenshot(path=BUILD / f"index-{size}.png", full_page=True)
        seen.page.click("ol.quarters a")
        assert seen.page.url == made["quarter"].as_uri()
        seen.page.wait_for_selector("h1:has-text('2026Q3')")
