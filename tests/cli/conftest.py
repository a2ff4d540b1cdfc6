"""A temporary folder with a small fleet for commands to work on."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.fleet import make_store, write_csv

Run = Callable[..., "subprocess.CompletedProcess[str]"]


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with a sheet and a screened store, made once."""
    folder = tmp_path_factory.mktemp("made")
    write_csv(folder / "readings.csv")
    make_store(folder / "fleet.duckdb")
    return folder


@pytest.fixture
def fleet(made: Path, tmp_path: Path) -> Path:
    """Return a folder of one's own with copies of them."""
    for path in made.iterdir():
        shutil.copy(path, tmp_path)
    return tmp_path


@pytest.fixture
def run(fleet: Path) -> Run:
    """Return a function that runs the command line as a person would, in that folder."""

    def call(*words: str, store: str | None = "fleet.duckdb") -> subprocess.CompletedProcess[str]:
        before = ["--store", store] if store else []
        return subprocess.run(
            [sys.executable, "-m", "analytics.cli.main", *before, *words],
            cwd=fleet,
            env=plain_environment(),
            capture_output=True,
            text=True,
            timeout=120,
            check=False,
        )

    return call


def plain_environment() -> dict[str, str]:
    """Return the environment without a store of the person's own."""
    return {k: v for k, v in os.environ.items() if k != "LOADRISE_STORE"}
