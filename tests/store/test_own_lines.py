"""Lines that a device class has of its own: written, checked, dated, judged by, told again."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest

from analytics import history
from analytics.columns import DEVICE_CLASSES
from analytics.desk import open_desk
from analytics.errors import UsageError
from analytics.opinion import judge_stored
from analytics.policy import as_toml, default_policy, default_text, parse, restore
from analytics.policy.limits import TUNED
from analytics.screening import screen
from analytics.warehouse import Warehouse, open_store
from tests.cli.fleet import VISITS, make_store

DAY = dt.date(2026, 10, 1)
OWN = (("afci", "probability", 0.1), ("standard", "heat_ratio", 50.0), ("standard", "lift_k", 5.0))


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_store(tmp_path_factory.mktemp("own") / "fleet.duckdb")


@pytest.fixture
def store(made: Path, tmp_path: Path) -> Iterator[Warehouse]:
    path = tmp_path / "fleet.duckdb"
    path.write_bytes(made.read_bytes())
    with open_store(path) as warehouse:
        yield warehouse


def with_lines(text: str) -> str:
    """Return the default policy with tables of its own for classes."""
    return f"{default_text()}\n{text}\n"


def test_a_class_is_judged_by_its_own_lines_and_else_by_the_shared_ones() -> None:
    policy = parse(with_lines("[flag.afci]\nprobability = 0.1\nlift_k = 4"), "firm")
    assert policy.own == (("afci", "lift_k", 4.0), ("afci", "probability", 0.1))
    usual = {key: policy.numbers()[f"flag_{key}"] for key in TUNED}
    assert policy.lines_for("afci") == {**usual, "probability": 0.1, "lift_k": 4.0}
    assert policy.lines_for("main") == usual


@pytest.mark.parametrize("name", DEVICE_CLASSES)
def test_every_class_may_have_every_tuned_line(name: str) -> None:
    text = f"[flag.{name}]\nprobability = 0.4\nheat_ratio = 2\nlift_k = 3\nload_share = 0.2"
    found = parse(with_lines(text), "firm").lines_for(name)
    assert found == {"probability": 0.4, "heat_ratio": 2.0, "lift_k": 3.0, "load_share": 0.2}


@pytest.mark.parametrize(
    "text",
    [
        '[flag.afci]\nprobability = 0.1 # "x"\n[flag.main]\nlift_k = 4',
        '[flag.main]\nlift_k = 4.0\n[ flag . "afci" ]\nprobability = 1e-1',
    ],
)
def test_the_order_of_tables_makes_no_other_version(text: str) -> None:
    own = (("afci", "probability", 0.1), ("main", "lift_k", 4.0))
    assert parse(with_lines(text), "firm").own == own
    assert parse(with_lines(text), "firm") == parse(default_text(), "firm").with_own(own)


def test_the_version_tells_own_lines_and_knows_none_without() -> None:
    """The version of the policy that comes along is that of the programs before own lines."""
    assert default_policy().version == "default-4b308a65"
    versions = {
        default_policy().with_own(own).version
        for own in ((), OWN, OWN[:1], OWN[1:], (("main", "probability", 0.1),))
    }
    assert len(versions) == 5
    assert default_policy().with_own(OWN).with_own(()) == default_policy()


def test_own_lines_as_text_read_back_the_same() -> None:
    policy = default_policy().moved(flag_lift_k=2.75).with_own(OWN)
    assert parse(as_toml(policy), "default") == policy == restore(as_toml(policy), policy.version)
    assert policy.moved(flag_lift_k=3.0).own == OWN
    unknown = as_toml(policy) + "\n[flag.toaster]\nlift_k = 1.0\n"
    assert restore(unknown, policy.version) == policy


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[flag.toaster]\nlift_k = 4", "flag.toaster.lift_k is no line of a policy, and toaster"),
        ("[flag.toaster]", "flag.toaster is no line of a policy"),
        ("[flag.afci]\nface_rise_k = 60", "flag.afci.face_rise_k is no line of a policy that a"),
        ("[flag.afci]\nprobability = 1.5", "flag.afci.probability is 1.5, a number from 0 to 1"),
        ("[flag.afci]\nlift_k = -1", "flag.afci.lift_k is -1, a number from 0 to"),
        ("[flag.afci]\nlift_k = nan", "flag.afci.lift_k is nan"),
        ("[flag.afci]\nlift_k = true", "flag.afci.lift_k is True, which is no number"),
        ("[flag.afci]\nlift_k = '4'", "flag.afci.lift_k is '4', which is no number"),
        ("[flag.afci.basement]\nlift_k = 4", "flag.afci.basement.lift_k is no line of a policy"),
        ("[flag.afci]\nlift_k = { low = 4 }", "flag.afci.lift_k.low is no line of a policy"),
        ("[load.afci]\nany_share = 1", "load.afci.any_share is no line of a policy"),
        ("[[flag.afci]]\nlift_k = 4", "which is no number|is no line of a policy"),
        ("[afci]\nlift_k = 4", "afci.lift_k is no line of a policy"),
    ],
)
def test_what_is_wrong_with_own_lines_is_told_with_its_line(text: str, words: str) -> None:
    """The line of the key, or of its table where it says nothing."""
    number = len(default_text().splitlines()) + 2 + text.count("\n")
    with pytest.raises(UsageError, match=words) as caught:
        parse(with_lines(text), "firm")
    line = number - 1 if text.startswith("[[") else number
    assert f"line {line}: " in caught.value.message


def test_the_same_table_twice_is_told_without_a_traceback() -> None:
    with pytest.raises(UsageError, match="is no TOML"):
        parse(with_lines("[flag.afci]\nlift_k = 4\n[flag.afci]\nlift_k = 5"), "firm")
    with pytest.raises(UsageError, match=r"is no TOML|nested too deeply"):
        parse(with_lines("x = " + "[" * 5000), "firm")


def test_the_comment_shows_how_one_is_written() -> None:
    """Its lines without the comment marks are a table that reads."""
    shown = default_text().split("# [flag.main]\n")[1].split("\n\n")[0].replace("# ", "")
    policy = parse(with_lines(f"[flag.main]\n{shown}"), "firm")
    assert len(policy.own) == 4
    classes = default_text().split("# The classes: ")[1].split(". One")[0].replace("\n# ", " ")
    assert classes.split(", ") == list(DEVICE_CLASSES)


def adopted(store: Warehouse, folder: Path, own: tuple[tuple[str, str, float], ...]) -> list[str]:
    """Adopt the default with these, its line for loaded circuits moved off; return what is told."""
    path = folder / "firm.toml"
    policy = default_policy().moved(flag_loaded_probability=1.0).with_own(own)
    path.write_text(as_toml(policy), encoding="utf-8")
    return history.adopt(store, path, today=DAY).lines()


def test_adopting_tells_own_lines_that_are_new_moved_or_gone(
    store: Warehouse, tmp_path: Path
) -> None:
    adopted(store, tmp_path, ())
    told = adopted(store, tmp_path, OWN)
    assert "  flag.afci.probability: 0.1, a line of its own that is new" in told
    later = (("afci", "probability", 0.2), *OWN[1:2])
    told = adopted(store, tmp_path, later)
    assert told[1:3] == [
        "  flag.afci.probability: 0.1 becomes 0.2",
        "  flag.standard.lift_k: 5 is gone; the line of all classes holds",
    ]
    assert history.policy_in_force(store, DAY).own == later


def test_every_verdict_by_own_lines_comes_out_again(store: Warehouse, tmp_path: Path) -> None:
    """The one flagged standard breaker of the fleet is let go by its class's own heat ratio."""
    flagged = (
        "select device_class from screening.result where verdict like '%connection' order by all"
    )
    adopted(store, tmp_path, ())
    screen(store, today=DAY)
    before = store.fetch(flagged)
    assert ("standard",) in before
    adopted(store, tmp_path, OWN)
    assert screen(store, today=DAY).policy_version.startswith("firm-")
    assert [one for one in before if one != ("standard",)] == store.fetch(flagged)
    assert before != store.fetch(flagged)
    rows = store.fetch("select inspection_id, panel_id, position from records.reading")
    found = [history.explain(store, *row) for row in rows]
    assert len(found) == VISITS * 8
    assert all(one.is_reproduced for one in found)
    told = found[0].lines()
    assert "  [flag.standard]" in told
    adopted(store, tmp_path, ())
    screen(store, today=DAY)
    last = found[0].given.screening_id
    assert history.explain(store, *rows[0], screening_id=last).lines() == told


def test_what_would_have_been_noticed_goes_by_own_lines(store: Warehouse) -> None:
    """A standard breaker is flagged from 50 times the usual heat: much less is not noticed.

    The smallest is read off a grid whose last bins are open, so that it may say less than 50.
    """
    seen = (
        "select min(smallest_ratio_seen) from screening.result "
        "where device_class = 'standard' and smallest_ratio_seen is not null"
    )
    others = seen.replace("= 'standard'", "<> 'standard'")
    screen(store, default_policy())
    before = store.fetch(others)
    assert store.fetch(seen)[0][0] < 4
    screen(store, default_policy().with_own(OWN[1:]))
    assert store.fetch(seen)[0][0] > 20
    assert store.fetch(others) == before


def test_notices_of_an_older_program_are_worked_out_anew(store: Warehouse) -> None:
    """It kept them by shared lines alone, without telling whose they are."""
    screen(store, today=DAY)
    device = store.fetch(
        "select inspection_id, panel_id, position, smallest_ratio_seen from screening.result "
        "where smallest_ratio_seen is not null order by reading_id limit 1"
    )[0]
    store.execute("alter table screening.notice drop column own_place")
    store.close()
    with open_desk(store.path) as desk:
        found = judge_stored(desk, *device[:3])
    assert found["smallest_ratio_seen"] == pytest.approx(device[3])
