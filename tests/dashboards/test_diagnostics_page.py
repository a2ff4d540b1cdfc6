"""The diagnostics page: what it gathers, what it says, and what it keeps to itself."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from dataclasses import fields, replace
from pathlib import Path

import pytest

from analytics import querybook
from analytics.settings import group_prior
from analytics.warehouse import Warehouse, open_store
from dashboards.diagnostics import RECORDS, collect
from dashboards.diagnostics_records import DiagnosticsRecord, Group, Residual
from dashboards.diagnostics_weights import check_weights
from dashboards.pages.diagnostics import headline_lines, page
from dashboards.pages.diagnostics_words import level_words, shelter_words
from dashboards.render import render
from tests.cli.fleet import make_store
from tests.dashboards.reader import (
    HOSTILE,
    assert_cautions_and_no_promise,
    assert_stays_text,
    spoil,
    told_figures,
    words_of,
)

PARAMS = {"least_count": 30, "apart_z": 3.0, "apart_middle": 0.2, "apart_width": 0.2}
TOLD = {
    "normalise.measure": ("office_id", "camera_id", "inspector_id", "make"),
    "screening.result": ("reason", "next_step", "policy_version"),
    "records.quarantine": ("sentence", "code"),
    "records.recheck": ("sentence", "code"),
}
"""Every text that the page may show: table -> columns."""


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_store(tmp_path_factory.mktemp("store") / "fleet.duckdb")


@pytest.fixture(scope="module")
def record(store: Path) -> DiagnosticsRecord:
    with open_store(store, read_only=True) as warehouse:
        found = collect(warehouse)
    return replace(found, weights=check_weights(store))


@pytest.fixture(scope="module")
def text(record: DiagnosticsRecord) -> str:
    return render(page(record, "degF"), "diagnostics")


@pytest.fixture
def own(store: Path, tmp_path: Path) -> Iterator[Warehouse]:
    with open_store(shutil.copy(store, tmp_path / "own.duckdb")) as warehouse:
        yield warehouse


def _page_of(warehouse: Warehouse, unit: str = "degF") -> str:
    return words_of(render(page(collect(warehouse), unit), "diagnostics"))


@pytest.mark.parametrize("name", RECORDS)
def test_records_have_the_columns_of_their_query(own: Warehouse, name: str) -> None:
    params = {key: PARAMS[key] for key in querybook.load(name).params}
    columns = list(own.frame(name, **params).columns)
    assert [field.name for field in fields(RECORDS[name])] == columns


def test_every_mart_is_gathered() -> None:
    assert sorted(RECORDS) == [n for n in querybook.names("marts") if "diagnostics_" in n]


def _group(reading_count: int, gain_k_se: float, **more: float) -> Group:
    values: dict[str, object] = dict.fromkeys((field.name for field in fields(Group)), 0.0)
    values |= {"channel": "face", "device_class": "standard", "is_multi_pole": False}
    values |= {"reading_count": reading_count, "gain_k_se": gain_k_se, **more}
    return Group(**values)  # type: ignore[arg-type]


@pytest.mark.parametrize(("load", "worth"), [(1.0, 1.0), (0.5, 0.25), (0.1, 0.01)])
def test_effective_readings_count_those_at_rating(load: float, worth: float) -> None:
    """Fifty readings at load x, exponent 1, noise 2 K, all else known: 1/sd^2 + 50 x^2 / 4.

    The posterior of a normal mean with a normal prior; they are worth 50 x^2 readings at rating.
    """
    sd = group_prior("face", "standard").gain_k.sd
    se = (1.0 / sd**2 + 50 * load**2 / 4.0) ** -0.5
    assert _group(50, se, noise_k=2.0).effective_count == pytest.approx(50 * worth)


def test_the_prior_alone_has_no_effective_readings() -> None:
    sd = group_prior("face", "standard").gain_k.sd
    assert _group(0, 0.9 * sd, noise_k=2.0).effective_count == 0.0
    idle = _group(9, 1.0000001 * sd, noise_k=2.0)
    assert (idle.effective_count, idle.prior_share) == (0.0, 1.0)


def test_sections_stand_in_order(text: str) -> None:
    assert re.findall(r"<h2>(.*?)</h2>", text) == [
        "What the baseline knows",
        "What is left over",
        "What could not be judged",
        "Rechecks and quarantine",
        "Does the healthy interval hold",
        "With and without weights",
        "History and versions",
        "Words",
        "Cautions",
    ]


def test_cautions_are_there_and_promises_are_not(text: str) -> None:
    assert_cautions_and_no_promise(text)


def test_each_figure_has_a_sentence_and_a_table(text: str) -> None:
    assert len(told_figures(text)) >= 10


def test_every_section_opens_with_a_sentence(record: DiagnosticsRecord) -> None:
    for section in page(record, "degF").sections:
        assert section.asks.endswith(".")
        assert section.answer.endswith(".")


def test_the_page_is_small_and_the_same_each_time(record: DiagnosticsRecord, text: str) -> None:
    assert len(text.encode()) < 6_000_000
    assert render(page(record, "degF"), "diagnostics") == text


def test_the_baseline_says_what_rests_on_the_prior(text: str, record: DiagnosticsRecord) -> None:
    words = words_of(text)
    assert "191 clamped readings taught the face’s baseline" in words
    assert "No clamped reading of arc-fault, ground-fault, dual, main, surge, monitor and" in words
    rows = page(record, "degC").sections[0].cards[0].figure
    assert rows
    table = {row[0]: row for row in rows.table.rows}
    assert table["standard"][1] == "readings"
    assert table["arc-fault"][1:4] == ("prior alone", "0", "0")
    assert float(table["arc-fault"][7]) == pytest.approx(30.0, abs=1.0)


def test_a_difference_in_degf_is_nine_fifths(record: DiagnosticsRecord) -> None:
    """A rise of 30 K is 54 °F, never 86."""
    shown = []
    for unit in ("degC", "degF"):
        figure = page(record, unit).sections[0].cards[0].figure
        assert figure
        shown.append(float(next(r for r in figure.table.rows if r[0] == "arc-fault")[7]))
    assert shown[1] == pytest.approx(1.8 * shown[0], abs=0.15)
    assert level_words("ambient", "4", "degC") == "20 to 25\u00a0°C"
    assert level_words("ambient", "4", "degF") == "68 to 77\u00a0°F"


def test_shelter_in_words() -> None:
    """As fitting.shelter_level counts: ends open, 3 across, 6 under the main."""
    found = [shelter_words(level) for level in (0, 1, 5, 6, 9)]
    assert found == [
        "closed in",
        "one end open",
        "both ends, across open",
        "closed in, under main",
        "across open, under main",
    ]


def test_a_departure_is_named_with_its_size(own: Warehouse) -> None:
    before = headline_lines(collect(own), "degF")
    assert "office" not in " ".join(before)
    own.execute(
        "update screening.result set standard_residual = standard_residual + 1.5 where reading_id "
        "in (select reading_id from normalise.measure where office_id = 'O1')"
    )
    after = " ".join(headline_lines(collect(own), "degF"))
    assert re.search(r"Off among \d+ levels: .*office “O1” \(median \+1\.\d\d", after)


def test_what_could_not_be_judged_adds_up(own: Warehouse) -> None:
    found = collect(own)
    whole = [row for row in found.unjudged if row.subject == "whole"]
    assert found.counts
    assert sum(row.reading_count for row in whole) == found.counts.unjudged_count > 0
    for subject in ("class", "office"):
        rows = [row for row in found.unjudged if row.subject == subject]
        assert sum(row.reading_count for row in rows) == found.counts.unjudged_count


def test_an_empty_store_gives_a_page_that_says_so() -> None:
    with open_store() as empty:
        words = _page_of(empty)
    assert "No reading in this store has been judged yet. Run loadrise ingest, fit and" in words
    assert "No baseline has been fitted yet: run loadrise fit." in words
    assert "No row waits in quarantine." in words


def test_a_fitted_store_without_verdicts_says_so(tmp_path: Path) -> None:
    from analytics.baseline import fit

    with open_store(make_store(tmp_path / "bare.duckdb", is_screened=False)) as bare:
        fit(bare)
        words = _page_of(bare)
    assert "A baseline has been fitted, but nothing was judged by it" in words
    assert "191 clamped readings taught the face’s baseline" in words


def test_verdicts_of_an_older_baseline_are_told(own: Warehouse) -> None:
    own.execute(
        "insert into records.baseline_version select * replace ('b0' as baseline_version, "
        "fitted_at + interval 1 day as fitted_at) from records.baseline_version"
    )
    assert "192 verdicts still rest on another: run loadrise screen." in _page_of(own)


def test_levels_of_one_kind_are_not_compared() -> None:
    row = Residual("office", "O1", 90, 9, -2, -1, 1, 2, 3, 2.0, is_off=True, is_wide=True)
    load = replace(row, subject="load", level="4", is_off=False, is_wide=False)
    assert DiagnosticsRecord(residuals=(row, load)).compared == (load,)


def test_many_levels_are_all_in_the_table(record: DiagnosticsRecord) -> None:
    row = next(row for row in record.residuals if row.subject == "office")
    many = tuple(replace(row, level=f"office-{i}", reading_count=100 + i) for i in range(40))
    section = page(replace(record, residuals=many), "degF").sections[1]
    figure = section.cards[0].figure
    assert figure
    assert [r[0] for r in figure.table.rows] == [f"office-{i}" for i in range(40)]
    assert "The 24 with the most readings are drawn." in figure.sentence


def test_hostile_text_stays_text(own: Warehouse) -> None:
    spoil(own, TOLD, HOSTILE, "{column}[-2:]")
    assert_stays_text(render(page(collect(own), "degF"), "diagnostics"))
