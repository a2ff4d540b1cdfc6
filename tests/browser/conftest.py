"""A Chromium for the tests, or a plain skip; LOADRISE_DEMAND_BROWSER=1 makes that a failure."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser

NAMES = ("chromium", "chromium-browser", "google-chrome-stable", "google-chrome")
ARGUMENTS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def _executable() -> str:
    found = next((path for name in NAMES if (path := shutil.which(name))), "")
    if not found and os.environ.get("LOADRISE_DEMAND_BROWSER"):
        pytest.fail("LOADRISE_DEMAND_BROWSER is set, but no Chromium is installed.")
    if not found:
        pytest.skip("no Chromium is installed (Debian: apt-get install chromium)")
    return found


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    executable = _executable()
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        started = driver.chromium.launch(executable_path=executable, args=ARGUMENTS)
        yield started
        started.close()
