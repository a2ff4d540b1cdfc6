"""A page opened in a real Chromium and watched: what it asked for, what it complained about."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

BUILD = Path(__file__).parents[2] / "build" / "pages"
SIZES = {"phone": (360, 740), "desktop": (1280, 800)}
LOOKS = pytest.mark.parametrize(
    ("size", "scheme"), [("phone", "light"), ("desktop", "light"), ("desktop", "dark")]
)
A4_PX = 673
"""Width that A4 leaves between the margins: 178 mm at 96 px an inch."""
HOSTILE = (
    '</script><script>window.harmed = 1</script><img src="http://127.0.0.1:9/x" '
    "onerror=\"window.harmed = 2\"><a href='javascript:window.harmed = 3'>x</a>"
    "<b onmouseover=window.harmed=4>"
)
STICKS_OUT = """() => [...document.querySelectorAll("body *")]
  .filter((e) => !e.closest(".scroll") && !e.closest("svg"))
  .filter((e) => e.getBoundingClientRect().right > innerWidth + 0.5)
  .map((e) => e.tagName + "." + e.className)"""
CUT_LABELS = """() => [...document.querySelectorAll(".plot")].flatMap((plot) => {
  const frame = plot.getBoundingClientRect();
  return [...plot.querySelectorAll("svg text")]
    .filter((t) => t.textContent && !t.closest(".hoverlayer"))
    .map((t) => [t.textContent, t.getBoundingClientRect()])
    .filter(([, r]) => r.width > 0)
    .filter(([, r]) => r.left < frame.left - 1 || r.right > frame.right + 1
      || r.top < frame.top - 1 || r.bottom > frame.bottom + 1)
    .map(([text]) => plot.dataset.figure + ": " + text);
})"""
OVERLAPPING_TICKS = """() => [...document.querySelectorAll(".plot")].flatMap((plot) =>
  ["xtick", "ytick"].flatMap((kind) => {
    const boxes = [...plot.querySelectorAll(`.${kind} text`)]
      .filter((t) => !(t.getAttribute("transform") || "").includes("rotate(-"))
      .map((t) => [t.textContent, t.getBoundingClientRect()]);
    return boxes.flatMap(([a, p], i) => boxes.slice(i + 1)
      .filter(([, q]) => p.left < q.right - 1 && q.left < p.right - 1
        && p.top < q.bottom - 1 && q.top < p.bottom - 1)
      .map(([b]) => `${plot.dataset.figure}: ${a} / ${b}`));
  }))"""
WIDER_THAN_ITS_PLACE = """() => [...document.querySelectorAll(".plot")].filter((p) =>
  p.querySelector("svg").getBoundingClientRect().width > p.getBoundingClientRect().width + 1)
  .map((p) => p.dataset.figure)"""
CUT_TABLES = """(places) => [...document.querySelectorAll(places)]
  .filter((e) => e.scrollWidth > e.clientWidth + 1).map((e) => e.innerText.slice(0, 40))"""
DRAWINGS = """() => [...document.querySelectorAll("[data-figure]")]
  .map((p) => p.querySelectorAll("svg").length)"""


@dataclass
class Watched:
    """A page with what it asked for and complained about."""

    page: Page
    requests: list[str] = field(default_factory=list)
    trouble: list[str] = field(default_factory=list)


@contextmanager
def opened(browser: Browser, path: Path, size: str = "phone", **more: Any) -> Iterator[Watched]:
    """Open a page of a size and close it again."""
    width, height = SIZES[size]
    context = browser.new_context(viewport={"width": width, "height": height}, **more)
    seen = Watched(context.new_page())
    seen.page.on("request", lambda request: seen.requests.append(request.url))
    seen.page.on("console", lambda message: seen.trouble.append(message.text))
    seen.page.on("pageerror", lambda error: seen.trouble.append(str(error)))
    try:
        seen.page.goto(path.as_uri())
        yield seen
    finally:
        context.close()


def scroll_through(page: Page) -> None:
    """Scroll to the end, so that every figure is drawn, and back."""
    page.evaluate(
        """async () => {
          for (let y = 0; y < document.body.scrollHeight; y += 500) {
            scrollTo(0, y);
            await new Promise((done) => setTimeout(done, 30));
          }
          scrollTo(0, 0);
        }"""
    )
    page.wait_for_function(
        "() => [...document.querySelectorAll('[data-figure]')].every((p) => p.querySelector('svg'))"
    )


def assert_quiet(seen: Watched) -> None:
    """Hold that nothing was asked for but the page itself, and nothing was complained about."""
    assert seen.requests == [seen.page.url]
    assert seen.trouble == []


def assert_narrow(page: Page) -> None:
    """Hold that the page is no wider than its window."""
    assert page.viewport_size
    assert page.evaluate("document.documentElement.scrollWidth") == page.viewport_size["width"]


def assert_fits(seen: Watched, name: str, least_texts: int = 0) -> None:
    """Draw all; hold that the page is quiet and nothing sticks out; leave its picture in BUILD."""
    BUILD.mkdir(parents=True, exist_ok=True)
    scroll_through(seen.page)
    assert_quiet(seen)
    assert_narrow(seen.page)
    assert seen.page.evaluate("document.querySelectorAll('.plot svg text').length") > least_texts
    for check in (STICKS_OUT, CUT_LABELS, OVERLAPPING_TICKS):
        assert seen.page.evaluate(check) == []
    seen.page.screenshot(path=BUILD / f"{name}.png", full_page=True)


def assert_nothing_ran(seen: Watched) -> None:
    """Hold that HOSTILE, wherever it stands on the page, did nothing and pushed nothing out."""
    assert seen.page.evaluate("window.harmed") is None
    made = "img, a[href^='javascript'], svg a"
    assert seen.page.evaluate("(made) => document.querySelectorAll(made).length", made) == 0
    assert_quiet(seen)
    assert_narrow(seen.page)


def assert_prints(seen: Watched, name: str) -> bytes:
    """Return the page as PDF, left in BUILD; every figure is drawn on it."""
    BUILD.mkdir(parents=True, exist_ok=True)
    printed = seen.page.pdf(path=BUILD / f"{name}-a4.pdf", prefer_css_page_size=True)
    assert seen.trouble == []
    drawn = seen.page.evaluate(DRAWINGS)
    assert drawn
    assert min(drawn) > 0
    assert printed.startswith(b"%PDF")
    return printed


def lay_on_paper(page: Page) -> None:
    """Lay the page out as on paper; its figures are drawn anew for that width."""
    page.emulate_media(media="print")
    page.set_viewport_size({"width": A4_PX, "height": 1000})
    page.evaluate("dispatchEvent(new Event('beforeprint'))")


def assert_fits_on_paper(seen: Watched, name: str) -> None:
    """Hold that no figure on paper is wider than its column; leave the picture in BUILD."""
    BUILD.mkdir(parents=True, exist_ok=True)
    lay_on_paper(seen.page)
    assert seen.page.evaluate(WIDER_THAN_ITS_PLACE) == []
    seen.page.screenshot(path=BUILD / f"{name}-a4.png", full_page=True)


def unfold(page: Page) -> None:
    """Open whatever is folded."""
    page.evaluate("document.querySelectorAll('details').forEach((d) => { d.open = true })")


def assert_axe_finds_nothing(page: Page, least_passes: int) -> None:
    """Hold that axe-core objects to nothing, and that more than so many of its rules applied."""
    from axe_playwright_python.sync_playwright import Axe

    found = Axe().run(page).response
    told = [f"{v['id']}: {n['html'][:120]}" for v in found["violations"] for n in v["nodes"]]
    assert told == []
    assert len(found["passes"]) > least_passes
