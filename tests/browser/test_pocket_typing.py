"""Typing on the pocket page: units convert and come back, either sign, half a number waits."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.browser.pocket import SUSPECT, make_cold_store, make_page, opened, type_in, verdict

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    store = make_cold_store(tmp_path_factory.mktemp("typing"))
    return make_page(store, store.with_name("pocket.html"))


def test_what_was_typed_is_converted_and_comes_back_as_typed(browser: Browser, made: Path) -> None:
    """70 °F are 21.1 °C and 121 °F 49.4 °C; a rise of 51 °F is one of 28.3 K."""
    with opened(browser, made) as seen:
        page = seen.page
        type_in(page, SUSPECT)
        said = page.inner_text("#reason")
        for _ in range(3):
            page.check("#unit-degC", force=True)
            assert [page.input_value(f"#{name}") for name in ("ambient", "device")] == [
                "21.1",
                "49.4",
            ]
            page.check("#unit-degF", force=True)
            assert [page.input_value(f"#{name}") for name in ("ambient", "device")] == ["70", "121"]
        assert page.inner_text("#reason") == said
        page.click("#open")
        assert "28.3\u00a0K" in page.inner_text("#facts")
        page.keyboard.press("Escape")
        page.check("#unit-degC", force=True)
        type_in(page, {"ambient": "20"})
        page.check("#unit-degF", force=True)
        assert page.input_value("#ambient") == "68"


def test_a_phone_types_a_temperature_below_zero(browser: Browser, made: Path) -> None:
    with opened(browser, made) as seen:
        type_in(seen.page, {**SUSPECT, "ambient": "10", "device": "41"})
        seen.page.click("[data-sign=ambient]")
        assert seen.page.input_value("#ambient") == "-10"
        assert seen.page.evaluate("state.found.reading.riseK") == pytest.approx(51 / 1.8)
        seen.page.click("[data-sign=ambient]")
        assert seen.page.input_value("#ambient") == "10"


def test_half_a_number_gets_no_verdict_of_its_own(browser: Browser, made: Path) -> None:
    """The answer stays that of the last whole numbers until typing pauses or the field is left."""
    from playwright.sync_api import expect

    with opened(browser, made) as seen:
        page = seen.page
        type_in(page, SUSPECT)
        before = page.inner_text("#reason")
        told = page.evaluate(
            """() => {
              const field = document.getElementById('device');
              field.focus();
              field.value = '7';
              field.dispatchEvent(new Event('input', { bubbles: true }));
              return document.getElementById('reason').textContent;
            }"""
        )
        assert told == before
        expect(page.locator("#answer-word")).to_have_text("")
        page.fill("#device", "121")
        page.press("#device", "Tab")
        assert page.inner_text("#reason") == before


def test_on_a_desktop_the_verdict_stays_in_sight(browser: Browser, made: Path) -> None:
    with opened(browser, made, "desktop") as seen:
        type_in(seen.page, SUSPECT)
        assert verdict(seen.page)
        for name in ("termination", "conductor", "floor"):
            seen.page.focus(f"#{name}")
            box = seen.page.locator("#answer-word").bounding_box()
            assert box is not None
            assert 0 <= box["y"] <= seen.page.viewport_size["height"] - box["height"]
