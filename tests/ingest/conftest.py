"""An empty store in memory for each test."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from analytics.warehouse import Warehouse, open_store


@pytest.fixture
def warehouse() -> Iterator[Warehouse]:
    with open_store() as opened:
        yield opened
