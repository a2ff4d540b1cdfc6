"""A firm's store in small, its pocket page, and hands that type into it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from analytics.baseline import fit
from analytics.desk import open_desk
from analytics.ingest.load import ingest
from analytics.opinion import bundle
from analytics.screening import screen
from analytics.warehouse import Warehouse, open_store
from dashboards.pocket.gather import pocket_page
from dashboards.pocket.page import render
from dashboards.render import write
from synthetic_data.write import generate
from tests.browser.watched import BUILD as BUILD
from tests.browser.watched import opened as opened

if TYPE_CHECKING:
    from playwright.sync_api import Page

TRADE_CASES = Path(__file__).parents[1] / "guarantees" / "trade_cases.csv"
INSPECTIONS, SEED, TODAY = 120, 7, dt.datetime(2026, 10, 1)
"""An invented fleet in which every class has been met, and the day after its last quarter; chosen:
it is fitted in seconds."""
SUSPECT = {
    "class": "standard",
    "rating": "20",
    "ambient": "70",
    "device": "121",
    "current": "9.2",
    "minutes": "30",
}
FOLDED = ("floor",)
"""Field that is folded away on a phone until it is wanted."""


def make_store(folder: Path) -> Path:
    """Make the screened store of the invented fleet."""
    store = folder / "firm.duckdb"
    fleet = generate("small", SEED, folder / "fleet", INSPECTIONS)
    with open_store(store) as warehouse:
        for plan in fleet.map_files:
            office = plan.stem.removesuffix("_columns")
            files = [path for path in fleet.reading_files if path.name.startswith(f"{office}_")]
            ingest(warehouse, files, column_map=plan, now=TODAY)
        ingest(warehouse, list(fleet.findings_files), now=TODAY)
        fit(warehouse)
        screen(warehouse)
    return store


def make_cold_store(folder: Path) -> Path:
    """Make the screened store of a firm that has read in four panels: the priors speak."""
    store = folder / "young.duckdb"
    with open_store(store) as warehouse:
        ingest(warehouse, [TRADE_CASES])
        fit(warehouse)
        screen(warehouse)
    return store


def make_page(store: Path, path: Path, **changes: Any) -> Path:
    """Write the pocket page of a store, with keys of its bundle changed."""
    with open_desk(store) as desk:
        write(render(pocket_page({**bundle(desk), **changes})), path)
    return path


@contextmanager
def desk_of(store: Path) -> Iterator[Warehouse]:
    with open_desk(store) as desk:
        yield desk


def type_in(page: Page, reading: dict[str, str]) -> None:
    """Type a reading as a person does, field by field."""
    for name, text in reading.items():
        if name in ("class", "poles"):
            page.check(f"#{name}-{text}", force=True)
        elif name == "make":
            if not page.is_visible("#make"):
                page.click("#further summary")
            page.select_option("#make", text)
        else:
            if name in FOLDED and not page.is_visible(f"#{name}"):
                page.click("#further summary")
            page.fill(f"#{name}", text)
            page.press(f"#{name}", "Tab")


def unfold(page: Page) -> None:
    """Open the whole answer, and what is folded in it."""
    if page.get_attribute("#open", "aria-expanded") == "false" and page.is_visible("#open"):
        page.click("#open")
    page.evaluate("document.querySelectorAll('#more details').forEach((d) => { d.open = true; })")


def verdict(page: Page) -> str:
    """Return the verdict's word as shown; empty where none is."""
    return page.inner_text("#answer-word") if page.is_visible("#given") else ""
