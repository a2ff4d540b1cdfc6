"""Figures as pictures for slides: drawn by a Chromium, or a sentence that says why not."""

from __future__ import annotations

import struct
from pathlib import Path
from typing import TYPE_CHECKING
from xml.etree import ElementTree

import pytest

from dashboards import pictures
from dashboards.pages.parts import Figure
from dashboards.pages.quarter import page
from dashboards.pictures import WIDTH_PX, write_pictures
from dashboards.quarter import collect
from tests.gold.tables import LAST, small_fleet
from tests.gold.trends import trends

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = pytest.mark.browser
WANTED = ("drift-camera", "funnel-office-overload", "band-1", "panel-1")


@pytest.fixture(scope="module")
def figures() -> list[Figure]:
    with small_fleet() as store:
        made = page(collect(store, LAST, trends()), "degF")
    assert len({one.id for one in made.figures}) == len(made.figures) > 20
    return [one for one in made.figures if one.id in WANTED]


def test_svg_is_the_same_each_time(browser: Browser, figures: list[Figure], tmp_path: Path) -> None:
    assert browser.is_connected()
    (tmp_path / "gone.svg").write_text("<svg/>")
    made = write_pictures(figures, tmp_path, "svg")
    assert (made.count, made.trouble) == (4, "")
    names = sorted(one.name for one in tmp_path.iterdir())
    assert names == sorted([*(f"{name}.svg" for name in WANTED), "sentences.txt"])
    before = {}
    for path in tmp_path.glob("*.svg"):
        root = ElementTree.fromstring(path.read_bytes())
        assert root.attrib["width"] == str(WIDTH_PX)
        words = " ".join(root.itertext())
        assert "script" not in path.read_text(encoding="utf-8")
        before[path.stem] = (path.read_bytes(), words)
    assert "C10" in before["drift-camera"][1]
    assert "number expected" in before["funnel-office-overload"][1]
    told = (tmp_path / "sentences.txt").read_text(encoding="utf-8").splitlines()
    assert [line.split(": ")[0] for line in told] == [f"{one.id}.svg" for one in figures]
    write_pictures(figures[:1], tmp_path / "again", "svg")
    again = tmp_path / "again" / f"{figures[0].id}.svg"
    assert again.read_bytes() == before[figures[0].id][0]


def test_png_is_twice_as_sharp(browser: Browser, figures: list[Figure], tmp_path: Path) -> None:
    assert browser.is_connected()
    write_pictures(figures[:1], tmp_path, "png")
    head = (tmp_path / f"{figures[0].id}.png").read_bytes()[:24]
    assert head.startswith(b"\x89PNG")
    assert struct.unpack(">II", head[16:]) == (2 * WIDTH_PX, 2 * figures[0].height)


def test_without_a_browser_it_says_so(
    figures: list[Figure], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pictures.shutil, "which", lambda _: None)
    made = write_pictures(figures, tmp_path / "none", "svg")
    assert made.count == 0
    assert made.trouble == ("No Chromium or Chrome is installed here, so no pictures were written.")
    assert not (tmp_path / "none").exists()


def test_a_browser_that_fails_leaves_nothing(
    figures: list[Figure], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pictures, "BROWSERS", ("false",))
    made = write_pictures(figures, tmp_path / "none", "svg")
    assert made.trouble.endswith("did not draw the figures; no pictures were written.")
    assert not (tmp_path / "none").exists()
