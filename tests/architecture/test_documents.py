"""The documents say what the program does: generated parts fresh, the job first, cautions there."""

from __future__ import annotations

import re

import pytest

from analytics import notices, querybook
from analytics.cli.main import COMMANDS, loadrise
from analytics.errors import UsageError
from analytics.reference import STAGE_FOLDERS, blocks, renew
from tests.architecture.sources import ROOT

README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
NAMES = ("commands", "glossary", "queries")


@pytest.fixture(scope="module")
def parts() -> dict[str, str]:
    return blocks(loadrise)


def test_no_other_part_is_generated(parts: dict[str, str]) -> None:
    assert tuple(parts) == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_generated_parts_are_fresh(name: str, parts: dict[str, str]) -> None:
    found = re.search(
        f"<!-- generated: {name} -->\n\n(.*?)\n\n<!-- end: {name} -->", DEVELOPERS, re.S
    )
    assert found is not None, f"DEVELOPERS.md has no part {name}"
    assert found[1] == parts[name], "stale: run make docs"


def test_commands_stand_there_as_they_are_called(parts: dict[str, str]) -> None:
    """A command keeps the options of the first context it meets, so both must be alike."""
    assert parts["commands"].count("  -h, --help") == len(COMMANDS) + 1


def test_a_missing_marker_is_told() -> None:
    with pytest.raises(UsageError, match="lacks the markers of “commands”"):
        renew("no markers", {"commands": "text"})


def test_renewing_twice_changes_nothing(parts: dict[str, str]) -> None:
    once = renew(DEVELOPERS, parts)
    assert renew(once, parts) == once


def test_every_folder_of_queries_is_listed() -> None:
    assert set(querybook.folders()) <= set(STAGE_FOLDERS)


def test_the_readme_opens_with_the_job() -> None:
    paragraphs = [p for p in README.split("\n\n") if not p.startswith("#")]
    first = " ".join(paragraphs[0].split())
    assert all(word in first for word in ("infrared", "current", "connection", "overload"))


def test_the_readme_holds_the_cautions() -> None:
    flat = " ".join(README.replace("*", "").replace("> ", "").split())
    for caution in notices.CAUTIONS:
        assert caution in flat
    assert notices.SHORT_CAUTION in flat


def test_the_readme_names_real_commands() -> None:
    for name in re.findall(r"loadrise(?: --store \S+)? ([a-z]+)", README):
        assert name in COMMANDS, f"README speaks of loadrise {name}"


def test_make_targets_named_are_there() -> None:
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    for name in re.findall(r"(?:`|    )make ([a-z]+)", README + DEVELOPERS):
        assert f"\n{name}:" in makefile, f"there is no target {name}"
