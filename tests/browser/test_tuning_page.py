"""The tuning page in a real Chromium: nothing goes out, nothing breaks, nothing sticks out."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from analytics.statistics.verification import Rate
from analytics.tuning.margins import Margin
from analytics.warehouse import open_store
from dashboards.pages.tuning import page
from dashboards.render import render, write
from dashboards.tuning import TuningRecord
from tests.browser.test_diagnostics_page import _draw_all
from tests.browser.watched import (
    BUILD,
    CUT_LABELS,
    HOSTILE,
    OVERLAPPING_TICKS,
    SIZES,
    STICKS_OUT,
    opened,
)
from tests.dashboards.test_tuning_page import gathered, store
from tests.tuning.test_agreement import planted, told

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = pytest.mark.browser


def _record(folder: Path) -> TuningRecord:
    """Return the small fleet's record with every class, load band and many offices, bounds too."""
    record = gathered(store(folder))
    known, bound = Rate(0.4, 0.1, 0.9), Rate(float("nan"), 0.02, 1.0)
    levels = [("class", name) for name in ("standard", "afci", "dual_function", "energy_monitor")]
    levels += [("load", str(band)) for band in range(1, 8)]
    levels += [("office", f"office with a very long name {n}") for n in range(9)]
    margins = tuple(
        Margin(subject, level, 12, 345, 6, 7_890, 123, bound if n % 3 else known, known)
        for n, (subject, level) in enumerate(levels)
    )
    tuned = replace(record.tuned, margins=margins)
    return replace(record, tuned=tuned, agreed=told(planted(1)))


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("tuning")
    path = folder / "tuning.html"
    write(render(page(_record(folder)), "tuning"), path)
    return path


@pytest.mark.parametrize(
    ("size", "scheme"), [("phone", "light"), ("desktop", "light"), ("desktop", "dark")]
)
def test_page_is_quiet_and_fits(browser: Browser, made: Path, size: str, scheme: Any) -> None:
    BUILD.mkdir(parents=True, exist_ok=True)
    with opened(browser, made, size, color_scheme=scheme) as seen:
        _draw_all(seen.page)
        assert seen.requests == [made.as_uri()]
        assert seen.trouble == []
        assert seen.page.evaluate("document.documentElement.scrollWidth") == SIZES[size][0]
        assert seen.page.evaluate("document.querySelectorAll('.plot svg text').length") > 40
        assert seen.page.evaluate(STICKS_OUT) == []
        assert seen.page.evaluate(CUT_LABELS) == []
        assert seen.page.evaluate(OVERLAPPING_TICKS) == []
        seen.page.screenshot(path=BUILD / f"tuning-{size}-{scheme}.png", full_page=True)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing(browser: Browser, made: Path, scheme: Any) -> None:
    from axe_playwright_python.sync_playwright import Axe

    with opened(browser, made, "phone", color_scheme=scheme) as seen:
        _draw_all(seen.page)
        seen.page.evaluate("document.querySelectorAll('details').forEach((d) => { d.open = true })")
        found = Axe().run(seen.page).response
        told_of = [f"{v['id']}: {n['html'][:120]}" for v in found["violations"] for n in v["nodes"]]
        assert told_of == []
        assert len(found["passes"]) > 15


def test_hostile_words_do_nothing(browser: Browser, tmp_path: Path) -> None:
    path = tmp_path / "hostile.html"
    fleet = store(tmp_path)
    with open_store(fleet) as warehouse:
        for table, columns in (
            ("normalise.measure", ("office_id",)),
            ("normalise.reading", ("inspection_id", "panel_id", "office_id")),
            ("screening.result", ("inspection_id", "panel_id")),
            ("records.finding", ("inspection_id", "panel_id")),
            ("records.source_file", ("file_name",)),
        ):
            for column in columns:
                warehouse.execute(
                    f"update {table} set {column} = $text || {column}", {"text": HOSTILE}
                )
    write(render(page(gathered(fleet)), "tuning"), path)
    with opened(browser, path, "phone") as seen:
        _draw_all(seen.page)
        assert seen.page.evaluate("window.harmed") is None
        assert seen.page.evaluate("document.querySelectorAll('img, svg a').length") == 0
        assert seen.requests == [path.as_uri()]
        assert seen.trouble == []


def test_the_page_prints(browser: Browser, made: Path) -> None:
    """A4 leaves 178 mm = 673 px between the margins; figures are drawn anew for that width."""
    with opened(browser, made, "desktop") as seen:
        printed = seen.page.pdf(path=BUILD / "tuning-a4.pdf", prefer_css_page_size=True)
        assert seen.trouble == []
        seen.page.emulate_media(media="print")
        seen.page.set_viewport_size({"width": 673, "height": 1000})
        seen.page.evaluate("dispatchEvent(new Event('beforeprint'))")
        wide = seen.page.evaluate(
            "() => [...document.querySelectorAll('.plot')].filter((p) => "
            "p.querySelector('svg').getBoundingClientRect().width > "
            "p.getBoundingClientRect().width + 1).map((p) => p.dataset.figure)"
        )
        assert wide == []
        cut = seen.page.evaluate(
            "() => [...document.querySelectorAll('.scroll')].filter((e) => "
            "e.scrollWidth > e.clientWidth + 1).map((e) => e.innerText.slice(0, 40))"
        )
        assert cut == []
    assert printed.startswith(b"%PDF")


def test_no_table_in_a_card_is_cut_on_a_desk(browser: Browser, made: Path) -> None:
    with opened(browser, made, "desktop") as seen:
        cut = seen.page.evaluate(
            "() => [...document.querySelectorAll('.card > .scroll, .card > div > .scroll')]"
            ".filter((e) => e.scrollWidth > e.clientWidth + 1).map((e) => e.innerText.slice(0, 40))"
        )
    assert cut == []
