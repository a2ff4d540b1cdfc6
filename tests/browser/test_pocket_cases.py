"""What practitioners decided on single readings, typed into the page of a young firm."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from analytics.desk import open_desk
from analytics.opinion import bundle
from dashboards.pocket.gather import pocket_page
from dashboards.pocket.page import render
from dashboards.theme import MARKS
from tests.browser.pocket import BUILD, make_cold_store, make_page, opened, type_in, unfold, verdict

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    store = make_cold_store(tmp_path_factory.mktemp("cases"))
    return make_page(store, store.with_name("pocket.html"))


@pytest.fixture
def page(browser: Browser, made: Path) -> Iterator[Page]:
    with opened(browser, made) as seen:
        yield seen.page
        assert seen.trouble == []


def _said(page: Page, name: str, reading: dict[str, str]) -> str:
    BUILD.mkdir(parents=True, exist_ok=True)
    type_in(page, reading)
    unfold(page)
    page.evaluate("scrollTo(0, 0)")
    page.screenshot(path=BUILD / f"pocket-{name}.png", full_page=True)
    return verdict(page).lower()


def test_over_the_limit_and_evenly_warm_is_an_overload(page: Page) -> None:
    # Common practice, no published source: 13.5 A on a 15 A standard breaker with an evenly warm
    # wire is an overload. The limit itself is NEC 210.20(A). The temperatures are ours.
    typed = {"class": "standard", "rating": "15", "ambient": "70", "device": "98"}
    more = {"current": "13.5", "minutes": "45", "termination": "98", "conductor": "95"}
    assert _said(page, "overload", {**typed, **more}) == "over the continuous limit"
    assert "evenly warm" in page.inner_text("#reason")


def test_an_idle_arc_fault_breaker_22_k_warm_is_usual(page: Page) -> None:
    # Trade reports: 22-23 K over cold neighbours with no load was called normal.
    typed = {"class": "afci", "rating": "20", "ambient": "70", "device": "109.6", "current": "0"}
    assert _said(page, "idle", typed) == MARKS["normal"].word
    assert "40\u00a0°F" in page.inner_text("#facts")
    assert "usual for a device with electronics" in page.inner_text("#reason")


def test_a_crimp_far_above_its_wire_is_a_suspected_connection(page: Page) -> None:
    # Trade report: a crimp at 155 °F between a 100 °F wire and a 91 °F breaker on about 12.5 A.
    typed = {"class": "standard", "rating": "20", "ambient": "75", "device": "91"}
    more = {"current": "12.5", "termination": "155", "conductor": "100"}
    assert _said(page, "crimp", {**typed, **more}) == MARKS["suspect_connection"].word
    assert "peaks at the termination" in page.inner_text("#reason")


def test_rise_counts_and_not_temperature(page: Page) -> None:
    # Common practice, no published source: 70 °F in 0 °F air has risen 70 °F, which is 38.9 K.
    typed = {"class": "standard", "rating": "20", "ambient": "0", "device": "70", "current": "12"}
    assert _said(page, "cold-air", typed) == MARKS["suspect_connection"].word
    assert "70\u00a0°F" in page.inner_text("#facts")
    page.check("#unit-degC", force=True)
    type_in(page, {"ambient": "0 F", "device": "70 F"})
    assert "38.9\u00a0K" in page.inner_text("#facts")


def test_a_class_that_was_never_clamped_says_so(page: Page) -> None:
    typed = {"class": "gfci", "rating": "20", "ambient": "70", "device": "90", "current": "8"}
    _said(page, "unmet", typed)
    assert "has been clamped yet" in page.inner_text("#rests")


def test_a_class_that_an_older_baseline_does_not_know_is_not_judged(
    browser: Browser, tmp_path: Path
) -> None:
    store = make_cold_store(tmp_path)
    with open_desk(store) as desk:
        given = bundle(desk)
    levels = given["tables"]["group_level"]
    levels["device_class"] = ["x" if n == "main" else n for n in levels["device_class"]]
    given["knowledge"] = [one for one in given["knowledge"] if one["device_class"] != "main"]
    made = tmp_path / "older.html"
    made.write_text(render(pocket_page(given)), encoding="utf-8")
    with opened(browser, made) as seen:
        typed = {"class": "main", "rating": "100", "ambient": "70", "device": "90", "current": "40"}
        type_in(seen.page, typed)
        assert verdict(seen.page).lower() == MARKS["cannot_judge"].word
        assert "knows no device of this class" in seen.page.inner_text("#reason")
        assert seen.page.locator("#picture svg").count() == 0
        assert seen.trouble == []


def test_a_wire_over_its_insulation_is_referred_whatever_the_face_says(page: Page) -> None:
    # NEC 2023 table 310.16 (found in a public copy): no common insulation is rated over 90 °C.
    typed = {"class": "standard", "rating": "20", "ambient": "75", "device": "91", "current": "15"}
    assert _said(page, "wire", {**typed, "conductor": "300"}) == MARKS["suspect_connection"].word
    assert "90 °C or 194 °F" in page.inner_text("#reason")
    assert "do not go back in" in page.inner_text("#next")
    assert "300 °F" in page.inner_text("#paragraph")
    assert "−0" not in page.inner_text("#facts")


def test_a_face_over_its_standard_is_not_sent_back_to_be_clamped(page: Page) -> None:
    # UL 489, 7.1.4 (found in a public copy): a surface that is no metal reaches 85 °C at most.
    typed = {"class": "standard", "rating": "20", "ambient": "75", "device": "250"}
    assert _said(page, "face", typed) == MARKS["suspect_connection"].word
    assert "lamp its current" not in page.inner_text("#next")
    assert "its current explains" not in page.inner_text("#paragraph")


def test_a_hot_termination_and_wire_are_named_and_marked(page: Page) -> None:
    # Common practice, no published source: heat at the connection behind a face that looks usual.
    typed = {"class": "standard", "rating": "20", "ambient": "75", "device": "95", "current": "12"}
    more = {"minutes": "45", "termination": "155", "conductor": "155"}
    assert _said(page, "termination", {**typed, **more}) == MARKS["suspect_connection"].word
    assert "termination" in page.inner_text("#reason")
    assert "times as hot" not in page.inner_text("#reason")
    assert "155 °F" in page.inner_text("#paragraph")
    marks = page.locator("#channels path:not(.halo)").evaluate_all(
        "(found) => found.map((one) => one.getAttribute('class'))"
    )
    assert marks == ["other", "mark", "other"]


def test_without_current_the_termination_is_asked_for(page: Page) -> None:
    # Common practice, no published source: a termination is read without a clamp.
    typed = {"class": "standard", "rating": "20", "ambient": "75", "device": "84"}
    assert _said(page, "unclamped", typed) == MARKS["cannot_judge"].word
    assert "termination too, which needs no clamp" in page.inner_text("#next")
