"""The pocket page for those who cannot see it or use no mouse: axe-core, focus, what is said."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from tests.browser.pocket import SUSPECT, make_page, make_store, opened, type_in, unfold, verdict
from tests.browser.watched import assert_axe_finds_nothing

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    store = make_store(tmp_path_factory.mktemp("access"))
    return make_page(store, store.with_name("pocket.html"))


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", ["phone", "desktop"])
@pytest.mark.parametrize("stage", ["empty", "answered", "wrong"])
def test_axe_finds_nothing(
    browser: Browser, made: Path, size: str, scheme: Any, stage: str
) -> None:
    with opened(browser, made, size, color_scheme=scheme) as seen:
        if stage != "empty":
            type_in(seen.page, SUSPECT)
        if stage == "wrong":
            type_in(seen.page, {"device": "400", "minutes": "-1"})
        if stage == "answered":
            type_in(seen.page, {"termination": "130"})
            unfold(seen.page)
        assert_axe_finds_nothing(seen.page, 20)


def test_everything_works_from_the_keyboard(browser: Browser, made: Path) -> None:
    with opened(browser, made, "desktop") as seen:
        keys = seen.page.keyboard
        order = []
        for _ in range(60):
            keys.press("Tab")
            name = seen.page.evaluate("document.activeElement.id || document.activeElement.value")
            order.append(name)
            if name == "class-standard":
                keys.press("Space")
            elif name in SUSPECT:
                keys.type(SUSPECT[name])
            elif name == "floor":
                keys.press("Enter")
                break
        fields = ["unit-degF", "class-standard", "rating", "poles-1", "ambient", "device"]
        fields += ["current", "minutes", "termination", "conductor", "floor"]
        assert [name for name in order if name in fields] == fields
        assert verdict(seen.page)
        assert seen.page.evaluate("document.activeElement.id") == "answer"


def test_the_answer_is_said_once_typing_pauses(browser: Browser, made: Path) -> None:
    from playwright.sync_api import expect

    with opened(browser, made) as seen:
        assert seen.page.get_attribute("#said", "aria-live") == "polite"
        type_in(seen.page, SUSPECT)
        expect(seen.page.locator("#said")).to_contain_text("Verdict: suspected")
        said = seen.page.locator("#said").text_content()
        assert seen.page.inner_text("#reason") in said
        assert seen.page.inner_text("#next") in said


def test_numbers_get_a_number_keyboard(browser: Browser, made: Path) -> None:
    with opened(browser, made) as seen:
        modes = seen.page.evaluate(
            "[...document.querySelectorAll('.box input')].map((e) => e.inputMode)"
        )
        assert set(modes) == {"decimal", "numeric"}
        assert modes.count("decimal") == 6


def test_a_trouble_is_tied_to_its_field(browser: Browser, made: Path) -> None:
    with opened(browser, made) as seen:
        tied = seen.page.evaluate(
            """() => [...document.querySelectorAll(".box input")].map((e) =>
              e.getAttribute("aria-describedby").split(" ")
                .every((id) => document.getElementById(id)) && Boolean(e.labels.length))"""
        )
        assert tied
        assert all(tied)
