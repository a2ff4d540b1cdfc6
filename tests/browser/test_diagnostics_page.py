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
    HOSTILE,
    LOOKS,
    assert_fits,
    assert_fits_on_paper,
    assert_nothing_ran,
    assert_prints,
    opened,
    scroll_through,
)
from tests.cli.fleet import make_store
from tests.dashboards.reader import spoil
from tests.dashboards.test_diagnostics_page import TOLD

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = pytest.mark.browser


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


@LOOKS
def test_page_is_quiet_and_fits(browser: Browser, made: Path, size: str, scheme: Any) -> None:
    with opened(browser, made, size, color_scheme=scheme) as seen:
        assert_fits(seen, f"diagnostics-{size}-{scheme}", 100)


def test_hostile_words_do_nothing(browser: Browser, tmp_path: Path) -> None:
    path = tmp_path / "hostile.html"
    with open_store(make_store(tmp_path / "fleet.duckdb")) as warehouse:
        spoil(warehouse, TOLD, HOSTILE, "{column}[-2:]")
        write(render(page(collect(warehouse), "degF"), "diagnostics"), path)
    with opened(browser, path, "phone") as seen:
        scroll_through(seen.page)
        assert_nothing_ran(seen)


def test_the_page_prints(browser: Browser, made: Path) -> None:
    with opened(browser, made, "desktop") as seen:
        assert_prints(seen, "diagnostics")


def test_printed_figures_fit_their_column(browser: Browser, made: Path) -> None:
    with opened(browser, made, "desktop") as seen:
        assert_fits_on_paper(seen, "diagnostics")
