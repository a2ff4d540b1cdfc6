"""One truth: the page's numbers, verdicts and sentences are those of `loadrise opinion --json`.

600 random readings by default; LOADRISE_POCKET_READINGS=5000 asks for more.
"""

from __future__ import annotations

import datetime as dt
import os
import shutil
from collections import Counter
from collections.abc import Iterator
from dataclasses import asdict, replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from analytics.columns import DEVICE_CLASSES, VERDICTS
from analytics.history.policies import adopt
from analytics.opinion import Reading, judge_many, problems
from analytics.policy import as_toml, default_policy
from analytics.units import exact_from_degc, exact_to_degc
from analytics.warehouse import open_store
from dashboards.pocket.form import FIELDS
from tests.browser.pocket import SUSPECT, desk_of, make_page, make_store, opened, type_in, unfold
from tests.browser.pocket_readings import impossible, readings
from tests.browser.pocket_truth import differences, differs, judged, slack, typed

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser

COUNT = int(os.environ.get("LOADRISE_POCKET_READINGS", "600"))
SEED = 20261125


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_store(tmp_path_factory.mktemp("truth"))


@pytest.fixture(scope="module")
def page(browser: Browser, store: Path) -> Iterator[Page]:
    with opened(browser, make_page(store, store.with_name("pocket.html"))) as seen:
        yield seen.page
        assert seen.trouble == []


@pytest.fixture(scope="module")
def makes(store: Path) -> list[str]:
    with desk_of(store) as desk:
        rows = desk.fetch("select distinct make from fleet.baseline.make_level order by 1")
    return [row[0] for row in rows if row[0] != "not noted"]


def test_page_and_command_agree(page: Page, store: Path, makes: list[str]) -> None:
    given = readings(COUNT, SEED, makes)
    with desk_of(store) as desk:
        said = judge_many(desk, given)
    found = judged(page, given)
    wrong = {
        i: (asdict(given[i]), told)
        for i, (one, other) in enumerate(zip(said, found, strict=True))
        if (told := differences(one, other))
    }
    assert dict(list(wrong.items())[:5]) == {}
    assert {one.device_class for one in given} == set(DEVICE_CLASSES)
    assert set(Counter(one["verdict"] for one in said)) == set(VERDICTS)


FIRMS = default_policy().moved(
    **{"flag_probability": 0.15, "flag_loaded_probability": 0.1, "flag_heat_ratio": 1.6},
    **{"flag_lift_k": 2.0, "flag_terminal_peak_k": 12.0, "flag_load_share": 0.45},
    **{"load_continuous_share": 0.7, "load_any_share": 0.9, "load_gate_share": 0.5},
    **{"worth_smallest_ratio": 6.0, "worth_idle_share": 0.1, "worth_settled_minutes": 25.0},
    **{"worth_cold_spreads": 3.0, "material_lift_k": 4.0},
    **{"calibration_intercept": -0.4, "calibration_slope": 0.7},
)
"""Every line of the policy moved, that of the least load to be flagged at too."""
OWN = (
    ("afci", "probability", 0.02),
    ("afci", "load_share", 0.3),
    ("main", "heat_ratio", 2.5),
    ("standard", "heat_ratio", 1.0),
    ("standard", "lift_k", 6.0),
    ("standard", "load_share", 0.1),
    ("standard", "probability", 0.4),
)


@pytest.mark.parametrize("own", [(), OWN], ids=["shared", "own"])
def test_page_and_command_agree_under_a_firms_own_policy(
    browser: Browser,
    store: Path,
    makes: list[str],
    tmp_path: Path,
    own: tuple[tuple[str, str, float], ...],
) -> None:
    """With lines shared by all classes, and with some of classes' own: what to measure next too."""
    (tmp_path / "own.toml").write_text(as_toml(FIRMS.with_own(own)), encoding="utf-8")
    path = Path(shutil.copy(store, tmp_path / "own.duckdb"))
    with open_store(path) as warehouse:
        adopt(warehouse, tmp_path / "own.toml", today=dt.date(2026, 1, 1))
    given = [replace(one, unit="degF") for one in readings(COUNT // 2, SEED + 4, makes)]
    with desk_of(path) as desk:
        said = judge_many(desk, given)
    with opened(browser, make_page(path, tmp_path / "own.html")) as seen:
        found = judged(seen.page, given)
    assert [differences(*pair) for pair in zip(said, found, strict=True)] == [[]] * len(given)
    for one, other in zip(said, found, strict=True):
        wanted = [entry["sentence"] for entry in one["measure_next"]]
        assert [text.replace("−", "-") for text in other["sentences"]] == wanted


def test_page_and_command_agree_on_what_to_measure_next(
    page: Page, store: Path, makes: list[str]
) -> None:
    given = [replace(one, unit="degF") for one in readings(COUNT // 2, SEED + 1, makes)]
    with desk_of(store) as desk:
        said = judge_many(desk, given)
    for one, found in zip(said, judged(page, given), strict=True):
        wanted = {entry["code"]: entry for entry in one["measure_next"]}
        assert [entry["code"] for entry in found["next"]] == list(wanted)
        for entry in found["next"]:
            spare = slack("flip_chance", one["probability"])
            told = {k: (wanted[entry["code"]][k], v) for k, v in entry.items() if k != "code"}
            assert {k: v for k, v in told.items() if differs(*v, spare)} == {}, one["reading"]
        plain = [text.replace("−", "-") for text in found["sentences"]]
        assert plain == [entry["sentence"] for entry in one["measure_next"]]


def test_page_and_command_say_the_same_of_what_they_rest_on(
    page: Page, store: Path, makes: list[str]
) -> None:
    """All but what only the command can meet: makes that are not listed."""
    given = [replace(one, unit="degF") for one in readings(60, SEED + 3, makes)]
    with desk_of(store) as desk:
        said = judge_many(desk, given)
    for one, found in zip(said, judged(page, given), strict=True):
        notices = {n["code"]: n["sentence"] for n in one["notices"]}
        assert found["isHanging"] == (notices.pop("floor_decides", None) is not None)
        wanted = [text for code, text in notices.items() if code != "make_unknown"]
        assert [text.replace("’", "'") for text in found["rests"]] == wanted


@pytest.mark.parametrize("unit", ["degF", "degC"])
def test_page_and_command_put_the_same_beside(
    page: Page, store: Path, makes: list[str], unit: str
) -> None:
    given = [replace(one, unit=unit) for one in readings(COUNT // 4, SEED + 5, makes)]
    with desk_of(store) as desk:
        said = judge_many(desk, given)
    for one, found in zip(said, judged(page, given), strict=True):
        assert found["paragraph"] == one["paragraph"]
        assert found["ladders"] == [ladder["sentence"] for ladder in one["ladders"]]


def test_page_and_command_refuse_the_same(page: Page, makes: list[str]) -> None:
    given = impossible(COUNT, SEED, makes)
    names = {field.name for field in FIELDS}
    for one in given:
        wanted = {p.field: p.sentence for p in problems(one) if p.field in names}
        told = page.evaluate(
            """([one, unit]) => problemsOf(DATA,
              Object.fromEntries(Object.entries(one).map(([k, v]) => [k, v ?? NaN])), unit)""",
            [typed(one), one.unit],
        )
        assert told == {name: text[0].upper() + text[1:] for name, text in wanted.items()}, one


def test_what_is_typed_is_what_is_judged(page: Page, store: Path, makes: list[str]) -> None:
    """The same through the fields, typed in °F to a tenth."""
    page.check("#unit-degF", force=True)
    for one in readings(12, SEED + 2, makes):
        page.click("#clear")
        temperatures = {
            name: f"{exact_from_degc(value, 'degF'):.1f}"
            for name in ("ambient", "device", "termination", "conductor", "floor")
            if (value := getattr(one, f"{name}_degc")) is not None
        }
        current = {} if one.current_a is None else {"current": f"{one.current_a:.2f}"}
        minutes = {} if one.load_minutes is None else {"minutes": f"{one.load_minutes:g}"}
        kind = {"class": one.device_class, "poles": str(one.poles), "rating": f"{one.rated_a:g}"}
        texts = {**kind, **temperatures, **current, **minutes}
        type_in(page, texts)
        shown = page.evaluate("state.found && JSON.parse(JSON.stringify(state.found))")
        retyped = _retyped(texts)
        if problems(retyped):
            assert shown is None
            continue
        with desk_of(store) as desk:
            said = judge_many(desk, [retyped])[0]
        found = {**shown["reading"], **shown}
        told = [n for n in differences(said, found) if not n.startswith(("heat_ratio_",))]
        assert told == [], texts


def _retyped(texts: dict[str, str]) -> Reading:
    """Return what was typed as the command would read it."""
    names = ("ambient", "device", "termination", "conductor", "floor")
    degc = {f"{n}_degc": exact_to_degc(float(texts[n]), "degF") for n in names if n in texts}
    return Reading(
        device_class=texts["class"],
        rated_a=float(texts["rating"]),
        poles=int(texts["poles"]),
        current_a=float(texts["current"]) if "current" in texts else None,
        load_minutes=float(texts["minutes"]) if "minutes" in texts else None,
        **degc,
    )


def test_a_judgement_lays_the_baseline_few_times(page: Page) -> None:
    """Stands in for a time, which `python -m tests.browser.pocket_time` measures."""
    page.click("#clear")
    type_in(page, SUSPECT)
    unfold(page)
    count = page.evaluate(
        """() => {
          let count = 0;
          const plain = window.laid;
          window.laid = (...given) => { count += 1; return plain(...given); };
          refresh();
          window.laid = plain;
          return count;
        }"""
    )
    assert 50 < count <= 200
