"""The tuning page: what it gathers, what it says, and what it keeps to itself."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from analytics.policy import default_policy
from analytics.tuning.against import Turn
from analytics.tuning.choice import Costs
from analytics.warehouse import open_store
from dashboards.pages import examine, tuning_decision, tuning_flips
from dashboards.pages.tuning import TuningPage, headline_lines, page
from dashboards.pages.tuning_words import TuningSection
from dashboards.render import render
from dashboards.tuning import TuningRecord, collect
from tests.cli.fleet import make_store
from tests.cli.test_tune import find
from tests.dashboards.reader import (
    HOSTILE,
    assert_cautions_and_no_promise,
    assert_stays_text,
    spoil,
    told_figures,
    words_of,
)
from tests.tuning.test_agreement import Scan, planted, told

COSTS = Costs(4000, 180)
NAMED = {
    "normalise.measure": ("office_id",),
    "normalise.reading": ("inspection_id", "panel_id", "office_id"),
    "screening.result": ("inspection_id", "panel_id"),
    "records.finding": ("inspection_id", "panel_id"),
    "records.source_file": ("file_name",),
}
"""Every name that came from a file and is shown: table -> columns."""


def store(folder: Path, *, rest: bool = True) -> Path:
    path = make_store(folder / "fleet.duckdb")
    find(path, rest=rest)
    return path


def gathered(path: Path, costs: Costs | None = COSTS, **more: object) -> TuningRecord:
    with open_store(path, read_only=True) as warehouse:
        return collect(warehouse, costs, **more)  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> TuningRecord:
    path = store(tmp_path_factory.mktemp("tuning"))
    strict = default_policy().moved(flag_heat_ratio=9.0, flag_loaded_probability=1.0)
    return gathered(path, against=strict)


@pytest.fixture(scope="module")
def text(record: TuningRecord) -> str:
    return render(page(record), "tuning")


def named(made: TuningPage, id: str) -> TuningSection:
    return next(one for one in made.sections if one.id == id)


def test_sections_stand_in_order(text: str) -> None:
    assert re.findall(r"<h2>(.*?)</h2>", text) == [
        "The decision",
        "Where the lines could lie",
        "What would change",
        "What to do next",
        "The policies worth seeing",
        "What is caught, and what is not",
        "Readings whose flag would change",
        "Do the stated chances come true",
        "Which devices to examine next",
        "Findings that do not count",
        "Do the measurers agree",
        "Method, words and versions",
        "Cautions",
    ]


def test_cautions_are_there_and_promises_are_not(text: str) -> None:
    assert_cautions_and_no_promise(text)


def test_each_figure_has_a_sentence_and_a_table(text: str) -> None:
    assert len(told_figures(text)) == 5


def test_every_section_opens_with_a_sentence(record: TuningRecord) -> None:
    for section in page(record).sections:
        assert section.asks.endswith(".")
        assert section.answer.endswith(".")


def test_the_headline_stands_on_the_page_and_tells_the_given_policy_apart(
    text: str, record: TuningRecord
) -> None:
    lines = headline_lines(record)
    assert len(lines) == 4
    assert record.flips
    assert lines[3].startswith(f"The policy given, {record.flips.policy_version} (")
    assert record.flips.sentence in lines[3]
    assert not any("would change" in line for line in lines[:3])
    words = words_of(text)
    assert all(" ".join(line.replace("\u00a0", " ").split()) in words for line in lines)


def test_the_page_is_small_and_the_same_each_time(record: TuningRecord, text: str) -> None:
    assert len(text.encode()) < 6_000_000
    assert render(page(record), "tuning") == text


def test_nothing_is_asked_of_the_net(text: str) -> None:
    policy = re.search(r'http-equiv="Content-Security-Policy" content="([^"]*)"', text)
    assert policy
    assert policy[1].startswith("default-src &#39;none&#39;; script-src &#39;sha256-")
    outside = re.sub(r"<script>.*?</script>", "", text, flags=re.DOTALL)
    assert not re.search(r"(src|href)=[\"'](?!#)", outside)


def test_what_a_given_policy_turns_over_is_listed(text: str) -> None:
    words = words_of(text)
    assert (
        "1 reading; 1 of them examined, 1 faulty; the faulty ones first, then the other examined"
        in words
    )
    assert "V003 P003 5 2026-04-04 standard overload, suspected fault overload" in words


def test_findings_that_do_not_count_are_listed(text: str) -> None:
    words = words_of(text)
    assert "1 finding set aside," in words
    assert "of a reading that was never read in device fault V999 P003 5 sheet.csv" in words
    assert "a later row of the same time found corrects the former" in words


def test_corrected_and_plain_shares_come_from_the_record(record: TuningRecord) -> None:
    """The one fault was flagged and found: 1 of 1 either way, and no number of the page's own."""
    section = named(page(record), "caught")
    figure = section.blocks[0].figure
    assert figure
    row = next(row for row in figure.table.rows if row[0] == "standard")
    margin = next(m for m in record.tuned.margins if m.level == "standard")
    assert row[3:] == (
        f"{margin.faulty}",
        f"{margin.examined}",
        f"{margin.flagged}",
        f"{margin.examined_clear} of {margin.clear}",
    )
    assert row[1].startswith("100 % (".replace(" ", "\u00a0", 1))


def test_where_none_of_the_rest_was_examined_nothing_is_drawn(tmp_path: Path) -> None:
    found = gathered(store(tmp_path, rest=False))
    made = page(found)
    assert "No policy can be recommended:" in made.headline[0]
    assert f"{found.tuned.wanted:,} of them examined" in made.headline[0]
    assert len(found.plan.draws) == found.tuned.wanted > 0
    assert "no frontier can be drawn" in named(made, "choice").answer
    assert named(made, "choice").blocks == ()
    assert "No other policy is proposed" in named(made, "flips").answer
    assert any("between two ends" in notice for notice in made.notices)
    assert "Only two ends are known" in named(made, "caught").answer
    assert "between" in words_of(render(made, "tuning"))


def test_without_costs_the_frontier_stands_and_nothing_is_recommended(tmp_path: Path) -> None:
    made = page(gathered(store(tmp_path), None))
    assert "No policy is recommended without the firm’s own costs" in made.headline[0]
    figure = named(made, "choice").blocks[0].figure
    assert figure
    assert "dotted" not in figure.sentence


def test_repeated_scans_stand_on_the_page(record: TuningRecord) -> None:
    """The fleet has none, so the page says how to make some; with some, each camera has a row."""
    section = named(page(record), "agreement")
    assert section.answer.startswith("No device was scanned twice")
    assert section.blocks == ()
    made = named(page(replace(record, agreed=told(planted(1)))), "agreement")
    figures = {one.figure.id: one.figure for one in made.blocks if one.figure}
    assert set(figures) == {"offsets-camera", "offsets-inspector", "offsets-clamp"}
    assert [row[0] for row in figures["offsets-camera"].table.rows] == ["c1", "c2"]
    assert "2 of 2 stand apart" in figures["offsets-camera"].sentence


def test_hostile_text_stays_text(tmp_path: Path) -> None:
    path = store(tmp_path)
    with open_store(path) as warehouse:
        spoil(warehouse, NAMED, HOSTILE, "{column}")
    twice = [Scan("1", 0, 0, 9.0, HOSTILE, HOSTILE), Scan("2", 0, 0, 8.0, f"{HOSTILE}b", "c2")]
    assert_stays_text(render(page(replace(gathered(path), agreed=told(twice))), "tuning"))


def test_every_verdict_that_would_change_stands_in_the_table(record: TuningRecord) -> None:
    assert record.flips
    table = named(page(record), "flips").blocks[0].tables[0]
    sums = [sum(int(row[i].replace(",", "")) for row in table.rows[:-1]) for i in (3, 4, 5)]
    assert [f"{one:,}" for one in sums] == list(table.rows[-1][3:])
    assert sums[0] == record.flips.changed > len(record.flips.flips) == 1


def test_a_policy_not_screened_with_yet_is_told_first(tmp_path: Path) -> None:
    made = page(gathered(store(tmp_path), pending="The policy new-1 has not been screened with."))
    assert made.notices[0] == "The policy new-1 has not been screened with."


def test_the_commands_repeat_what_was_asked_for(tmp_path: Path) -> None:
    found = gathered(store(tmp_path), strata=("office",), most_visits=12.0)
    asked = "--missed-cost 4000 --visit-cost 180 --most-visits 12 --by office"
    assert any(asked in one for one in named(page(found), "decision").commands)


def test_the_appendix_comes_after_what_is_read_first(record: TuningRecord) -> None:
    places = [one.is_appendix for one in page(record).sections]
    assert places == sorted(places)
    assert places.count(False) == 4


def test_the_appendix_is_marked_where_it_starts(text: str) -> None:
    assert text.count('<p class="begins">Appendix') == 1
    before, after = text.split('<p class="begins">', 1)
    assert "<h2>What to do next</h2>" in before
    assert after.split("<h2>", 1)[1].startswith("The policies worth seeing")


def test_the_decision_has_a_box_for_each_option_and_one_route(record: TuningRecord) -> None:
    """Lines come first, then chances with the same flags, as the headline says too."""
    tuned = replace(record.tuned, recommended=default_policy(), surer=default_policy())
    best, now = (replace(record.tuned.candidates[0], is_in_force=one) for one in (False, True))
    shown = (now, replace(best, is_quieter=True), replace(best, is_proposed=True))
    mended = replace(record.recalibrated, policy=default_policy())
    found = replace(
        record, tuned=replace(tuned, candidates=shown), recalibrated=mended, is_given=False
    )
    made = tuning_decision.section(found)
    assert [one.split(":")[0] for one in made.options] == [
        "Proposed",
        "Surer",
        "Keep the policy in force",
    ]
    asked = "--missed-cost 4000 --visit-cost 180"
    assert made.commands == (
        f"loadrise tune {asked} --out proposed.toml",
        "loadrise tune --against proposed.toml",
        'loadrise adopt proposed.toml --from DAY --remark "WHY"',
        "loadrise screen",
        "loadrise recalibrate --same-flags --out recalibrated.toml",
        'loadrise adopt recalibrated.toml --from DAY --remark "WHY"',
        "loadrise screen",
        f"loadrise tune {asked} --page DIR",
    )
    head = " ".join(headline_lines(found))
    assert "recalibrate --same-flags mends them once the lines are decided" in head


def test_readings_that_come_to_count_as_judged_are_explained(record: TuningRecord) -> None:
    assert record.flips
    turn = Turn("cannot_judge", "normal", False, 2_203, 59, 3)
    made = tuning_flips.section(replace(record, flips=replace(record.flips, turns=(turn,))))
    assert (
        "no finding that they are sound: 3 of the 59 examined were" in made.blocks[0].sentences[0]
    )
    assert tuning_flips.section(record).blocks[0].sentences == ()


def test_chances_are_told_as_the_command_does(record: TuningRecord) -> None:
    assert record.tuned.reliability
    assert record.tuned.reliability.sentence in named(page(record), "chances").answer


def test_the_sheet_has_a_box_for_every_device(record: TuningRecord) -> None:
    text = render(examine.page(record), "examine")
    assert text.count('class="box"') == len(record.plan.draws) > 0
    assert_cautions_and_no_promise(text)
    assert "<script" not in text
    assert "script-src &#39;none&#39;" in text
