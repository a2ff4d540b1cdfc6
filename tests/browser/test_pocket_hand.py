"""The pocket page in one hand: the answer beside the fields, what is chosen, the next device."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.browser.pocket import SUSPECT, make_page, make_store, opened, type_in, unfold, verdict
from tests.browser.watched import SIZES

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    store = make_store(tmp_path_factory.mktemp("hand"))
    return make_page(store, store.with_name("pocket.html"))


def test_the_answer_stands_where_one_types(browser: Browser, made: Path) -> None:
    """On a phone the first screen holds the fields that matter and the answer in three parts."""
    with opened(browser, made) as seen:
        type_in(seen.page, SUSPECT)
        seen.page.evaluate("scrollTo(0, 0)")
        bottom = {
            name: seen.page.locator(f"#{name}").bounding_box()
            for name in (*list(SUSPECT), "answer-word", "reason", "next", "open")
        }
        assert [
            n for n, box in bottom.items() if box["y"] + box["height"] > SIZES["phone"][1]
        ] == []
        strip = seen.page.locator("#answer").bounding_box()
        fields = ("class", "rating", "ambient", "device", "current", "minutes")
        hidden = [n for n in fields if bottom[n]["y"] + bottom[n]["height"] > strip["y"] + 4]
        assert hidden == []
        assert not seen.page.is_visible("#facts")
        seen.page.click("#open")
        assert seen.page.is_visible("#facts")
        assert seen.page.get_attribute("#open", "aria-expanded") == "true"
        seen.page.keyboard.press("Escape")
        assert not seen.page.is_visible("#facts")


def test_termination_and_wire_stand_on_bands_of_their_own(browser: Browser, made: Path) -> None:
    """85 °F over the air lies right of the termination's band, the face's mark inside its own."""
    with opened(browser, made) as seen:
        type_in(seen.page, SUSPECT)
        unfold(seen.page)
        assert not seen.page.is_visible("#channels")
        type_in(seen.page, {"device": "91", "termination": "155", "conductor": "100"})
        unfold(seen.page)
        names = seen.page.locator("#channels .name").all_text_contents()
        assert names == ["Face", "Termination", "Wire"]
        edges = seen.page.evaluate(
            """() => {
              const box = (s) => [...document.querySelectorAll(`#channels ${s}`)]
                .map((e) => e.getBoundingClientRect());
              return { band: box(".band").map((r) => [r.left, r.right]),
                mark: box(".mark, .other").map((r) => (r.left + r.right) / 2) };
            }"""
        )
        assert edges["mark"][1] > edges["band"][1][1]
        assert edges["band"][0][0] < edges["mark"][0] < edges["band"][0][1]
        said = seen.page.locator("#channels-says").text_content().replace("\u00a0", " ")
        assert "Termination 85 °F, above its band of" in said
        assert "Wire 30 °F" in said


def test_what_was_chosen_is_told_without_colour(browser: Browser, made: Path) -> None:
    with opened(browser, made) as seen:
        seen.page.click("#picks button[value='20']")
        assert seen.page.input_value("#rating") == "20"
        pressed = "#picks button[aria-pressed=true]"
        assert seen.page.locator(pressed).all_text_contents() == ["20"]
        type_in(seen.page, {"rating": "25", "class": "afci"})
        assert seen.page.locator(pressed).count() == 0
        looks = (
            """(e) => [getComputedStyle(e, "::before").content, getComputedStyle(e).fontWeight]"""
        )
        assert seen.page.eval_on_selector("#class-afci + label", looks) == ['"✓"', "700"]
        assert seen.page.eval_on_selector("#class-gfci + label", looks) == ["none", "500"]


def test_the_next_device_keeps_what_is_the_panels(browser: Browser, made: Path) -> None:
    with opened(browser, made) as seen:
        type_in(seen.page, {**SUSPECT, "floor": "75", "termination": "120"})
        seen.page.click("#another")
        left = {n: seen.page.input_value(f"#{n}") for n in ("ambient", "minutes", "floor")}
        assert left == {"ambient": "70", "minutes": "30", "floor": "75"}
        gone = [
            seen.page.input_value(f"#{n}") for n in ("rating", "device", "current", "termination")
        ]
        assert gone == [""] * 4
        assert verdict(seen.page) == ""


def test_where_the_coolest_breaker_decides_it_is_asked_for_first(
    browser: Browser, made: Path
) -> None:
    with opened(browser, made) as seen:
        type_in(seen.page, {**SUSPECT, "device": "112", "current": "12", "minutes": ""})
        told = seen.page.evaluate(
            "hangsOnFloor(state.found, measureNext(DATA, state.found.reading, state.found))"
        )
        assert told
        assert seen.page.inner_text("#next").startswith("First read the panel's coolest breaker")
        type_in(seen.page, {"floor": "75"})
        assert "coolest breaker" not in seen.page.inner_text("#next")
