"""What no kept file may hold: this machine's paths, addresses of registries, claims of safety."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.architecture.sources import ROOT, kept_files

TEXTS = [p for p in kept_files() if p.suffix in {
    ".py", ".sql", ".toml", ".md", ".txt", ".html", ".css", ".js", ".csv", ".cfg", ".yml", ""
}]  # fmt: skip
HERE = Path("tests/architecture/test_words.py")
PLACES = re.compile(r"(?<![\w.:/])/(?:work|root|home|Users)/|\b[A-Z]:\\Users", re.IGNORECASE)
REGISTRIES = re.compile("|".join(("py" + r"pi\.org", "python" + r"hosted\.", "npm" + r"js\.")))
CLAIM = re.compile(
    r"\b(is|are|it's|declared|certified)\s+safe\b|\bsafe to (use|touch|leave|energi)"
)
VERDICT_WORD = re.compile(r"""verdict\w*\s*(?:=|then)\s*['"](?:safe|pass|ok)['"]""")


@pytest.mark.parametrize("path", TEXTS, ids=str)
def test_no_place_of_one_machine(path: Path) -> None:
    text = (ROOT / path).read_text(encoding="utf-8", errors="replace")
    if path == HERE:
        return
    assert PLACES.search(text) is None
    assert REGISTRIES.search(text) is None


@pytest.mark.parametrize("path", TEXTS, ids=str)
def test_nothing_is_called_safe(path: Path) -> None:
    text = (ROOT / path).read_text(encoding="utf-8", errors="replace")
    assert CLAIM.search(text) is None
    assert VERDICT_WORD.search(text) is None


def test_verdicts_promise_nothing() -> None:
    from analytics.columns import VERDICTS

    words = " ".join([*VERDICTS, *VERDICTS.values()]).lower().split()
    assert not {"safe", "pass", "passed", "ok"} & set(words)


def test_no_store_and_no_binary_is_kept() -> None:
    kept = {p.suffix for p in kept_files()}
    assert not kept & {".duckdb", ".wal", ".whl", ".exe", ".so"}


def test_pins_are_names_and_versions() -> None:
    lines = (ROOT / "constraints.txt").read_text(encoding="utf-8").splitlines()
    assert lines
    assert all(re.fullmatch(r"[A-Za-z0-9_.-]+==[\w.]+", line) for line in lines)
