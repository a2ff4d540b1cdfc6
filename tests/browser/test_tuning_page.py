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
from tests.browser.watched import (
    CUT_TABLES,
    HOSTILE,
    LOOKS,
    assert_axe_finds_nothing,
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
from tests.dashboards.test_tuning_page import NAMED, gathered, store
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
        Margin(subject, level, 12, 345, 6, 7_890, 123, 45.6, bound if n % 3 else known, known)
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


@LOOKS
def test_page_is_quiet_and_fits(browser: Browser, made: Path, size: str, scheme: Any) -> None:
    with opened(browser, made, size, color_scheme=scheme) as seen:
        assert_fits(seen, f"tuning-{size}-{scheme}", 40)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing(browser: Browser, made: Path, scheme: Any) -> None:
    with opened(browser, made, "phone", color_scheme=scheme) as seen:
        scroll_through(seen.page)
        unfold(seen.page)
        assert_axe_finds_nothing(seen.page, 15)


def test_hostile_words_do_nothing(browser: Browser, tmp_path: Path) -> None:
    path = tmp_path / "hostile.html"
    fleet = store(tmp_path)
    with open_store(fleet) as warehouse:
        spoil(warehouse, NAMED, HOSTILE, "{column}")
    write(render(page(gathered(fleet)), "tuning"), path)
    with opened(browser, path, "phone") as seen:
        scroll_through(seen.page)
        assert_nothing_ran(seen)


def test_the_page_prints(browser: Browser, made: Path) -> None:
    with opened(browser, made, "desktop") as seen:
        assert_prints(seen, "tuning")


def test_printed_figures_fit_their_column(browser: Browser, made: Path) -> None:
    with opened(browser, made, "desktop") as seen:
        assert_fits_on_paper(seen, "tuning")


def test_no_table_is_cut_on_paper(browser: Browser, made: Path) -> None:
    with opened(browser, made, "desktop") as seen:
        lay_on_paper(seen.page)
        assert seen.page.evaluate(CUT_TABLES, ".scroll") == []


def test_no_table_in_a_card_is_cut_on_a_desk(browser: Browser, made: Path) -> None:
    with opened(browser, made, "desktop") as seen:
        places = ".card > .scroll, .card > div > .scroll"
        assert seen.page.evaluate(CUT_TABLES, places) == []
