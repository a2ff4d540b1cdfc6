"""The quarterly page of the small fleet, word for word.

When the page is meant to change: GOLD_UPDATE=1 .venv/bin/python -m pytest tests/gold, then read
the difference before it is committed.
"""

from __future__ import annotations

import os
import re
from pathlib import Path

from dashboards.pages.quarter import page
from dashboards.quarter import collect
from dashboards.render import render
from tests.gold.tables import LAST, small_fleet
from tests.gold.trends import trends

SCRUBS: dict[str, tuple[str, str]] = {
    "scripts, which have tests of their own": (r"<script>.*?</script>", "<script>…</script>"),
    "style": (r"<style>.*?</style>", "<style>…</style>"),
    "hashes of the scripts": (r"sha256-[A-Za-z0-9+/=]+", "sha256-…"),
    "program version": (r"Loadrise \d+\.\d+\.\d+", "Loadrise …"),
    "policy version": (r"default-[0-9a-f]{8}", "default-…"),
    "numbers of the policy": (r" The policy in force flags[^<]*", " The policy in force …"),
}
"""What may change without the page having changed: name -> pattern, what stands for it."""


def _scrubbed(text: str) -> str:
    for pattern, stand_in in SCRUBS.values():
        text = re.sub(pattern, stand_in, text, flags=re.DOTALL)
    return text


def test_page_is_the_gold_page() -> None:
    with small_fleet() as warehouse:
        found = _scrubbed(render(page(collect(warehouse, LAST, trends()), "degF")))
    gold = Path(__file__).parent / "quarter.html"
    if os.environ.get("GOLD_UPDATE"):
        gold.write_text(found, encoding="utf-8", newline="\n")
    assert found == gold.read_text(encoding="utf-8")
