"""The small fleet's quarter and its page; a module on another page brings its own of that name."""

from __future__ import annotations

import pytest

from dashboards.pages.quarter import page
from dashboards.quarter import collect
from dashboards.quarter_records import QuarterRecord
from dashboards.render import render
from tests.gold.tables import LAST, small_fleet
from tests.gold.trends import trends


@pytest.fixture(scope="session")
def record() -> QuarterRecord:
    with small_fleet() as store:
        return collect(store, LAST, trends())


@pytest.fixture(scope="session")
def text(record: QuarterRecord) -> str:
    return render(page(record, "degF"))
