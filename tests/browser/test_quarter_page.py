"""The quarterly page in a real Chromium: nothing goes out, nothing breaks, nothing sticks out."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from dashboards.pages.quarter import page
from dashboards.quarter import collect
from dashboards.render import render, write
from tests.gold.tables import LAST, small_fleet
from tests.gold.trends import trends

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser

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
def opened(browser: Browser, path: Path, size: str, **more: Any) -> Iterator[Watched]:
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


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("page") / "quarter.html"
    with small_fleet() as warehouse:
        write(render(page(collect(warehouse, LAST, trends()), "degF")), path)
    return path


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("hostile") / "quarter.html"
    with small_fleet() as warehouse:
        for table, columns in (
            ("normalise.measure", ("inspection_id", "panel_id", "inspector_id", "make")),
            ("screening.result", ("inspection_id", "panel_id", "reason", "next_step")),
            ("records.reading", ("note", "panel_location")),
            ("records.quarantine", ("sentence", "code")),
        ):
            for column in columns:
                warehouse.execute(
                    f"update {table} set {column} = $text || left({column}, 1)", {"text": HOSTILE}
                )
        write(render(page(collect(warehouse, LAST, trends()), "degF")), path)
    return path


@pytest.mark.parametrize(
    ("size", "scheme"), [("phone", "light"), ("desktop", "light"), ("desktop", "dark")]
)
def test_page_is_quiet_and_fits(browser: Browser, made: Path, size: str, scheme: Any) -> None:
    BUILD.mkdir(parents=True, exist_ok=True)
    with opened(browser, made, size, color_scheme=scheme) as seen:
        scroll_through(seen.page)
        assert seen.requests == [made.as_uri()]
        assert seen.trouble == []
        assert seen.page.evaluate("document.documentElement.scrollWidth") == SIZES[size][0]
        assert seen.page.evaluate("document.querySelectorAll('.plot svg text').length") > 100
        assert seen.page.evaluate(STICKS_OUT) == []
        assert seen.page.evaluate(CUT_LABELS) == []
        assert seen.page.evaluate(OVERLAPPING_TICKS) == []
        seen.page.screenshot(path=BUILD / f"quarter-{size}-{scheme}.png", full_page=True)


def test_page_prints_on_a4(browser: Browser, made: Path) -> None:
    BUILD.mkdir(parents=True, exist_ok=True)
    with opened(browser, made, "desktop") as seen:
        printed = seen.page.pdf(path=BUILD / "quarter-a4.pdf", prefer_css_page_size=True)
        assert seen.trouble == []
        drawn = seen.page.evaluate(
            "() => [...document.querySelectorAll('[data-figure]')].map("
            "(p) => p.querySelectorAll('svg').length)"
        )
        assert drawn
        assert min(drawn) > 0
    assert printed.startswith(b"%PDF")
    assert 2 <= printed.count(b"/Type /Page\n") + printed.count(b"/Type /Page ") <= 12


def test_printed_figures_fit_their_column(browser: Browser, made: Path) -> None:
    """A4 leaves 178 mm = 673 px between the margins; figures are drawn anew for that width."""
    with opened(browser, made, "desktop") as seen:
        seen.page.emulate_media(media="print")
        seen.page.set_viewport_size({"width": 673, "height": 1000})
        seen.page.evaluate("dispatchEvent(new Event('beforeprint'))")
        wide = seen.page.evaluate(
            "() => [...document.querySelectorAll('.plot')].filter((p) => "
            "p.querySelector('svg').getBoundingClientRect().width > "
            "p.getBoundingClientRect().width + 1).map((p) => p.dataset.figure)"
        )
        assert wide == []
        seen.page.screenshot(path=BUILD / "quarter-a4.png", full_page=True)


def test_hostile_words_do_nothing(browser: Browser, hostile: Path) -> None:
    with opened(browser, hostile, "phone") as seen:
        scroll_through(seen.page)
        for dot in seen.page.query_selector_all(".scatterlayer .point")[:40]:
            box = dot.bounding_box()
            if box:
                dot.scroll_into_view_if_needed()
                dot.hover(force=True)
        assert seen.page.evaluate("window.harmed") is None
        assert seen.page.evaluate("document.querySelectorAll('img').length") == 0
        assert (
            seen.page.evaluate("document.querySelectorAll('a[href^=\"javascript\"], svg a').length")
            == 0
        )
        assert seen.requests == [hostile.as_uri()]
        assert seen.trouble == []
        assert seen.page.evaluate("document.documentElement.scrollWidth") == SIZES["phone"][0]


def test_foreign_scripts_are_refused(browser: Browser, made: Path) -> None:
    """What slipped through would still not run: the policy of the page refuses it."""
    with opened(browser, made, "phone") as seen:
        seen.page.evaluate(
            """() => {
              const script = document.createElement("script");
              script.textContent = "window.harmed = 1";
              document.body.append(script);
              const image = document.createElement("img");
              image.src = "http://127.0.0.1:9/x.png";
              document.body.append(image);
            }"""
        )
        assert seen.page.evaluate("window.harmed") is None
        assert sum("Content Security Policy" in text for text in seen.trouble) >= 2


def test_hover_tells_the_numbers(browser: Browser, made: Path) -> None:
    with opened(browser, made, "desktop") as seen:
        point = seen.page.wait_for_selector("[data-figure=data-change-flagged] .point")
        assert point
        point.hover(force=True)
        label = seen.page.wait_for_selector("[data-figure=data-change-flagged] .hovertext")
        assert label
        assert "of" in label.text_content()
        assert "judged" in label.text_content()


def test_the_page_reads_without_scripts(browser: Browser, made: Path) -> None:
    with opened(browser, made, "phone", java_script_enabled=False) as seen:
        summary = seen.page.locator("summary").first
        summary.click()
        assert seen.page.locator("details[open] table").first.is_visible()
