"""A page opened in a real Chromium and watched: what it asked for, what it complained about."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

BUILD = Path(__file__).parents[2] / "build" / "pages"
SIZES = {"phone": (360, 740), "desktop": (1280, 800)}
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
