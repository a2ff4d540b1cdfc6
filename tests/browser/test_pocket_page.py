"""The pocket page under a thumb: a verdict, its picture, bad input, units, copying, saving."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from analytics.desk import open_desk
from analytics.opinion import bundle
from analytics.plain import printable
from dashboards.pocket.gather import pocket_page
from dashboards.pocket.page import render
from dashboards.theme import MARKS
from tests.browser.pocket import (
    BUILD,
    SUSPECT,
    make_page,
    make_store,
    opened,
    type_in,
    unfold,
    verdict,
)
from tests.browser.watched import HOSTILE, SIZES, STICKS_OUT

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = pytest.mark.browser

LARGEST_BYTES = 1_500_000
"""Size of a page that a phone still takes by mail [B]; chosen."""
SMALLEST_TOUCH_PX = 44
"""Smallest side of what is touched [px]; WCAG 2.2, 2.5.5 asks for 44 (from memory)."""
SMALL_TOUCHES = f"""() => [...document.querySelectorAll("input, button, select, summary")]
  .filter((e) => e.offsetParent)
  .map((e) => [e.id || e.value, (e.closest(".box") ?? e).getBoundingClientRect()])
  .filter(([, r]) => r.height < {SMALLEST_TOUCH_PX} || r.width < {SMALLEST_TOUCH_PX})
  .map(([id, r]) => `${{id}} ${{r.width}} x ${{r.height}}`)"""
LABELS_CUT = """() => {
  const frame = document.getElementById("picture").getBoundingClientRect();
  const cut = [...document.querySelectorAll("#picture text")]
    .map((t) => [t.textContent, t.getBoundingClientRect()])
    .filter(([, r]) => r.left < frame.left - 1 || r.right > frame.right + 1
      || r.top < frame.top - 1 || r.bottom > frame.bottom + 1);
  return [cut.map(([text]) => text), frame.width > 100];
}"""


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_store(tmp_path_factory.mktemp("pocket"))


@pytest.fixture(scope="module")
def made(store: Path) -> Path:
    return make_page(store, store.with_name("pocket.html"))


@pytest.mark.parametrize(
    ("size", "scheme"),
    [("phone", "light"), ("phone", "dark"), ("desktop", "light"), ("desktop", "dark")],
)
def test_page_is_quiet_and_fits(browser: Browser, made: Path, size: str, scheme: Any) -> None:
    BUILD.mkdir(parents=True, exist_ok=True)
    with opened(browser, made, size, color_scheme=scheme, offline=True) as seen:
        type_in(seen.page, SUSPECT)
        assert verdict(seen.page)
        assert seen.requests == [made.as_uri()]
        assert seen.trouble == []
        assert seen.page.evaluate("document.documentElement.scrollWidth") == SIZES[size][0]
        assert seen.page.evaluate(STICKS_OUT) == []
        assert seen.page.evaluate(SMALL_TOUCHES) == []
        seen.page.evaluate("scrollTo(0, 0)")
        seen.page.screenshot(path=BUILD / f"pocket-{size}-{scheme}.png", full_page=True)
        unfold(seen.page)
        assert seen.page.evaluate(LABELS_CUT) == [[], True]
        assert seen.page.evaluate(STICKS_OUT) == []
        assert seen.page.evaluate(SMALL_TOUCHES) == []
        seen.page.screenshot(path=BUILD / f"pocket-{size}-{scheme}-answer.png")


def test_page_is_small(made: Path) -> None:
    assert made.stat().st_size <= LARGEST_BYTES


def test_same_store_same_bytes(store: Path, made: Path) -> None:
    again = make_page(store, store.with_name("again.html"))
    assert again.read_bytes() == made.read_bytes()


def test_an_answer_has_every_part(browser: Browser, made: Path) -> None:
    with opened(browser, made) as seen:
        type_in(seen.page, SUSPECT)
        word = MARKS["suspect_connection"].word
        assert verdict(seen.page).lower() == word
        unfold(seen.page)
        assert "times as hot for its current as usual" in seen.page.inner_text("#reason")
        assert "licensed electrician" in seen.page.inner_text("#next")
        facts = seen.page.inner_text("#more").replace("\u00a0", " ")
        for part in (
            "Face over the air\n51 °F",
            "Load\n46 %",
            "healthy:",
            "1 is typical",
            "Ran hotter",
        ):
            assert part in facts
        for part in ("At 80 % it would rise", "At 100 % it would rise", "The verdict may turn"):
            assert part in facts
        assert "qualified persons only" in seen.page.inner_text("#more .caution")
        assert seen.page.locator("footer li").count() >= 5


def test_the_picture_shows_this_reading_on_its_band(browser: Browser, made: Path) -> None:
    """46 % of rating lies between the ticks of 40 and 60, and 51 °F above those of 0."""
    with opened(browser, made) as seen:
        type_in(seen.page, SUSPECT)
        unfold(seen.page)
        places = seen.page.evaluate(
            """() => {
              const middle = (e) => {
                const r = e.getBoundingClientRect();
                return { x: (r.left + r.right) / 2, y: (r.top + r.bottom) / 2 };
              };
              const tick = (text) => middle([...document.querySelectorAll("#picture .tick")]
                .find((t) => t.textContent === text && t.getAttribute("text-anchor") === "middle"));
              return { mark: middle(document.querySelector("#picture .mark")),
                forty: tick("40"), sixty: tick("60"),
                band: middle(document.querySelector("#picture .band")) };
            }"""
        )
        share = (places["mark"]["x"] - places["forty"]["x"]) / (
            places["sixty"]["x"] - places["forty"]["x"]
        )
        assert share == pytest.approx((46 - 40) / 20, abs=0.02)
        assert "above the band" in seen.page.locator("#picture-says").text_content()


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        ("current", "nine", "no number"),
        ("current", "-3", "cannot be negative"),
        ("current", "92", "decimal point"),
        ("ambient", "130", "warmer than the device"),
        ("rating", "22", "no breaker is made for 22 a"),
        ("rating", "0", "0 a is no rating"),
        ("device", "400", "hotter than a device in service"),
        ("device", "12-1", "no number"),
        ("minutes", "-5", "cannot be negative"),
        ("minutes", "30 A", "no number"),
        ("termination", "60", "warmer than the termination"),
        ("floor", "cool", "no number"),
        ("floor", "150", "warmer than this one (121 °f)"),
        ("floor", "55", "colder than the air (70 °f)"),
        ("floor", "900", "hotter than a device in service"),
    ],
)
def test_bad_input_gets_a_sentence_and_no_verdict(
    browser: Browser, made: Path, name: str, text: str, says: str
) -> None:
    with opened(browser, made) as seen:
        type_in(seen.page, SUSPECT)
        assert verdict(seen.page)
        type_in(seen.page, {name: text})
        said = seen.page.inner_text(f"#{name}-trouble")
        assert says in said.lower()
        assert seen.page.get_attribute(f"#{name}", "aria-invalid") == "true"
        assert verdict(seen.page) == ""
        assert seen.page.locator("#answer-mark svg").count() == 0
        type_in(seen.page, {name: SUSPECT.get(name, "")})
        assert seen.page.inner_text(f"#{name}-trouble") == ""
        assert verdict(seen.page)


def test_what_is_missing_is_named_and_focused(browser: Browser, made: Path) -> None:
    with opened(browser, made) as seen:
        type_in(seen.page, {"class": "afci", "rating": "20"})
        assert seen.page.inner_text("#waiting") == "Still needed: ambient air and device’s face."
        seen.page.click("button[type=submit]")
        assert seen.page.evaluate("document.activeElement.id") == "ambient"
        assert seen.page.inner_text("#device-trouble") != ""


def test_units_switch_and_are_remembered(browser: Browser, made: Path) -> None:
    with opened(browser, made) as seen:
        seen.page.check("#unit-degC", force=True)
        type_in(seen.page, {**SUSPECT, "ambient": "21,1", "device": "49.5"})
        unfold(seen.page)
        assert "28.4\u00a0K" in seen.page.inner_text("#facts")
        seen.page.reload()
        assert seen.page.is_checked("#unit-degC")
        assert seen.page.inner_text("#ambient-unit") == "°C"


def test_a_phone_without_storage_works(browser: Browser, made: Path) -> None:
    with opened(browser, made) as seen:
        seen.page.add_init_script(
            "Object.defineProperty(window, 'localStorage', { get() { throw new Error('shut'); } })"
        )
        seen.page.reload()
        seen.page.check("#unit-degC", force=True)
        seen.page.check("#unit-degF", force=True)
        type_in(seen.page, SUSPECT)
        assert verdict(seen.page)
        assert seen.trouble == []


def test_an_answer_is_copied_and_saved_as_text(browser: Browser, made: Path) -> None:
    from playwright.sync_api import expect

    with opened(browser, made, permissions=["clipboard-read", "clipboard-write"]) as seen:
        type_in(seen.page, SUSPECT)
        unfold(seen.page)
        seen.page.click("#copy")
        expect(seen.page.locator("#told")).to_have_text("Copied.")
        copied = seen.page.evaluate("navigator.clipboard.readText()")
        with seen.page.expect_download() as waiting:
            seen.page.click("#save")
        saved = Path(waiting.value.path()).read_text(encoding="utf-8")
        assert waiting.value.suggested_filename.endswith(".txt")
        for text in (copied, saved):
            assert "Verdict: suspected connection or device fault" in text
            assert "ambient 70 °F, device 121 °F, current 9.2 A, minutes under load 30 min" in text
            assert "qualified persons only" in text
        assert seen.requests[0] == made.as_uri()
        assert all(url.startswith(("file:", "blob:")) for url in seen.requests)


@pytest.mark.parametrize(("days", "is_old"), [(0, False), (180, False), (190, True)])
def test_an_old_baseline_says_so(browser: Browser, made: Path, days: int, is_old: bool) -> None:
    """Two quarters are half a year: 181 to 184 days."""
    with opened(browser, made) as seen:
        fitted = seen.page.evaluate("DATA.baseline.fittedAt")
        seen.page.clock.set_fixed_time(datetime.fromisoformat(fitted) + timedelta(days=days))
        seen.page.reload()
        assert seen.page.is_visible("#stale") is is_old
        assert seen.page.evaluate("DATA.baseline.fittedOn") in seen.page.inner_text("footer")


def test_hostile_makes_do_nothing(browser: Browser, store: Path) -> None:
    names = [HOSTILE, "\u202egnol\u202c", "__proto__", "</script>", "' onfocus=alert(1) x='"]
    text = make_page(store, store.with_name("plain.html")).read_text(encoding="utf-8")
    made = store.with_name("hostile.html")
    with open_desk(store) as desk:
        given = bundle(desk)
    levels = given["tables"]["make_level"]
    known = sorted(set(levels["make"]) - {"not noted"})
    changed = dict(zip(known, names, strict=False))
    levels["make"] = [changed.get(name, name) for name in levels["make"]]
    made.write_text(render(pocket_page(given)), encoding="utf-8")
    assert text.count("<script") == made.read_text(encoding="utf-8").count("<script")
    with opened(browser, made, "desktop") as seen:
        type_in(seen.page, SUSPECT)
        before = seen.page.inner_text("#facts")
        for name in changed.values():
            type_in(seen.page, {"make": printable(name)})
            assert verdict(seen.page)
        seen.page.select_option("#make", "not noted")
        assert seen.page.inner_text("#facts") == before
        assert seen.page.evaluate("window.harmed") is None
        assert seen.requests == [made.as_uri()]
        assert seen.trouble == []
        assert seen.page.evaluate("document.documentElement.scrollWidth") == SIZES["desktop"][0]


def test_foreign_scripts_and_styles_are_refused(browser: Browser, made: Path) -> None:
    with opened(browser, made) as seen:
        seen.page.evaluate(
            """() => {
              for (const [name, text] of [["script", "window.harmed = 1"], ["style", "p {}"]]) {
                const made = document.createElement(name);
                made.textContent = text;
                document.body.append(made);
              }
              const image = document.createElement("img");
              image.src = "http://127.0.0.1:9/x.png";
              document.body.append(image);
            }"""
        )
        assert seen.page.evaluate("window.harmed") is None
        assert sum("Content Security Policy" in text for text in seen.trouble) >= 3


def test_the_page_says_when_it_cannot_judge_for_want_of_scripts(
    browser: Browser, made: Path
) -> None:
    with opened(browser, made, java_script_enabled=False) as seen:
        assert "switched off" in seen.page.inner_text("form .stale")
