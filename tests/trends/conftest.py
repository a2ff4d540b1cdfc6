"""A small screened store, made once, and copies of it to change."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from analytics.warehouse import open_store
from tests.cli.fleet import make_store

Changed = Callable[..., Path]


@pytest.fixture(scope="session")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a screened store of 24 visits in three quarters with one hot device."""
    return make_store(tmp_path_factory.mktemp("trends") / "fleet.duckdb")


@pytest.fixture
def changed(small: Path, tmp_path: Path) -> Changed:
    """Return a function that copies the store, runs statements on it, and returns its path."""

    def change(*statements: str) -> Path:
        path = tmp_path / "copy.duckdb"
        shutil.copy(small, path)
        with open_store(path) as store, store.transaction():
            for sql in statements:
                store.execute(sql)
        return path

    return change
