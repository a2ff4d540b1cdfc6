"""The diagnostics page in a real Chromium: nothing goes out, nothing breaks, nothing sticks out."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from analytics.warehouse import open_store
from dashboards.diagnostics import collect
from dashboards.diagnostics_records import DiagnosticsRecord, Residual
from dashboards.diagnostics_weights import check_weights
from dashboards.pages.diagnostics import page
from dashboards.render import render, write
from tests.browser.watched import (
    BUILD,
    CUT_LABELS,
    HOSTILE,
    OVERLAPPING_TICKS,
    SIZES,
    STICKS_OUT,
    opened,
)
from tests.cli.fleet import make_store

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser


def _draw_all(page: Page) -> None:
    """Bring every figure into view, one after the other, until it is drawn."""
    for figure in page.query_selector_all("[data-figure]"):
        figure.scroll_into_view_if_needed()
        page.wait_for_function("place => place.querySelector('svg')", arg=figure)
    page.evaluate("scrollTo(0, 0)")


def _record(folder: Path) -> DiagnosticsRecord:
    """Return the small fleet's record, with every class, load band and shelter there may be."""
    store = make_store(folder / "fleet.duckdb")
    with open_store(store, read_only=True) as warehouse:
        record = collect(warehouse)
    taught = tuple(replace(group, reading_count=12_345) for group in record.groups)
    levels = [("load", range(1, 8)), ("minutes", range(11)), ("shelter", range(12))]
    rows = [
        Residual(subject, str(n), 12_345, 99, -2 - n, -1, 0.1 * n, 1, 2, 1.5, n > 1, n > 3)
        for subject, numbers in levels
        for n in numbers
    ]
    classes = ("standard", "afci", "gfci", "dual_function", "main", "surge_protector")
    coverage = tuple(
        replace(record.coverage[0], device_class=name, load_band=band)
        for name in classes
        for band in range(8)
    )
    others = tuple(row for row in record.residuals if row.subject in ("office", "camera", "make"))
    return replace(
        record,
        groups=taught,
        residuals=(*rows, *others),
        coverage=coverage,
        weights=check_weights(store),
    )


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("diagnostics")
    path = folder / "diagnostics.html"
    write(render(page(_record(folder), "degF"), "diagnostics"), path)
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
        assert seen.page.evaluate("document.querySelectorAll('.plot svg text').length") > 100
        assert seen.page.evaluate(STICKS_OUT) == []
        assert seen.page.evaluate(CUT_LABELS) == []
        assert seen.page.evaluate(OVERLAPPING_TICKS) == []
        seen.page.screenshot(path=BUILD / f"diagnostics-{size}-{scheme}.png", full_page=True)


def test_hostile_words_do_nothing(browser: Browser, tmp_path: Path) -> None:
    path = tmp_path / "hostile.html"
    with open_store(make_store(tmp_path / "fleet.duckdb")) as warehouse:
        for table, columns in (
            ("normalise.measure", ("office_id", "camera_id", "inspector_id", "make")),
            ("screening.result", ("reason", "next_step", "policy_version")),
            ("records.quarantine", ("sentence", "code")),
            ("records.recheck", ("sentence", "code")),
        ):
            for column in columns:
                warehouse.execute(
                    f"update {table} set {column} = $text || {column}[-2:]", {"text": HOSTILE}
                )
        write(render(page(collect(warehouse), "degF"), "diagnostics"), path)
    with opened(browser, path, "phone") as seen:
        _draw_all(seen.page)
        assert seen.page.evaluate("window.harmed") is None
        assert seen.page.evaluate("document.querySelectorAll('img, svg a').length") == 0
        assert seen.requests == [path.as_uri()]
        assert seen.trouble == []
        assert seen.page.evaluate("document.documentElement.scrollWidth") == SIZES["phone"][0]


def test_the_page_prints(browser: Browser, made: Path) -> None:
    with opened(browser, made, "desktop") as seen:
        printed = seen.page.pdf(path=BUILD / "diagnostics-a4.pdf", prefer_css_page_size=True)
        assert seen.trouble == []
        drawn = seen.page.evaluate(
            "() => [...document.querySelectorAll('[data-figure]')].map("
            "(p) => p.querySelectorAll('svg').length)"
        )
        assert min(drawn) > 0
    assert printed.startswith(b"%PDF")


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
        seen.page.screenshot(path=BUILD / "diagnostics-a4.png", full_page=True)
