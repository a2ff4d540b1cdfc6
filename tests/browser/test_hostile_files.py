"""A fleet with hostile text in every cell, taken from its files to every page, table and line.

What must not happen is told by the outside world: categories Cc, Cf and Cs of the Unicode Character
Database, the starts of formulas in OWASP's CSV Injection, and what Chromium runs and asks for.
"""

from __future__ import annotations

import csv
import json
import re
import tomllib
import unicodedata
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pyarrow.parquet as pq
import pytest
from click.testing import CliRunner

from analytics.cli.main import loadrise
from tests.browser import hostile
from tests.browser.pocket import SUSPECT, type_in, verdict
from tests.browser.watched import SIZES, STICKS_OUT, opened, scroll_through

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = pytest.mark.browser
LONGEST_LINE = 1_200
FORMULA = re.compile(r"[=+\-@\t\r\n＝＋－＠]")
NUMBER = re.compile(r"[-+]?\d+(\.\d*)?(e[-+]?\d+)?")
SUBJECTS = ("screening", "readings", "rechecks", "quarantine")
PAGES = ("quarter-2026Q3", "index", "diagnostics", "tuning")
CALLS = (
    "ingest files --dry-run",
    "ingest files --dry-run --json",
    "ingest files",
    "ingest files",
    "fit",
    "screen",
    "trends --all",
    "trends --json",
    "tune --findings",
    "tune --plan 20",
    "tune --missed-cost 4000 --visit-cost 180 --page pages",
    "agreement",
    "diagnostics --out pages --no-weights-check",
    "pocket --out pages/pocket.html",
    "quarter 2026Q3 --out pages --figures svg",
    "opinion --class standard --rating 20 --ambient 21C --device 60C --current 11 --minutes 45",
)
TEXT = """() => [document.title,
  ...[...document.querySelectorAll("body *")].filter((e) => !e.matches("script, style")).flatMap(
    (e) => [...e.childNodes].filter((n) => n.nodeType === 3).map((n) => n.data)),
  ...[...document.querySelectorAll("[title], [aria-label], [value]")].flatMap(
    (e) => ["title", "aria-label", "value"].map((name) => e.getAttribute(name) ?? ""))].join("\\n")
"""


def odd(text: str) -> set[str]:
    """Return the signs that no reader is to meet: controls, half characters, unseen ones."""
    return {
        hex(ord(sign))
        for sign in text
        if unicodedata.category(sign) in ("Cc", "Cf", "Cs") and sign not in "\n\u200c\u200d"
    }


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, dict[str, str]]]:
    """Return the folder and what each command printed, as it reaches a terminal."""
    folder = tmp_path_factory.mktemp("hostile")
    (folder / "files").mkdir()
    rows = (hostile.readings(), hostile.findings())
    for name, table in zip(hostile.FILE_NAMES, rows, strict=True):
        hostile.write(folder / "files" / name, table)
    said: dict[str, str] = {}
    with pytest.MonkeyPatch.context() as patched:
        patched.chdir(folder)
        for words in CALLS:
            said[words] = said.get(words, "") + _call(*words.split())
        asked = "select inspection_id, panel_id, position from screening.result"
        hot = f"{asked} where verdict = 'suspect_connection' order by all limit 4"
        for one in json.loads(_call("sql", hot, "--format", "json")):
            key = [str(value) for value in one.values()]
            said[f"explain {key}"] = _call("explain", *key)
            named = zip(("--inspection", "--panel", "--position"), key, strict=True)
            said[f"opinion {key}"] = _call("opinion", *(word for pair in named for word in pair))
        for form in ("table", "json", "csv"):
            said[f"sql {form}"] = _call("sql", "from records.reading", "--format", form)
        for subject in SUBJECTS:
            for kind in ("csv", "parquet"):
                _call("export", subject, "--out", f"{subject}.{kind}")
        yield folder, said


def _call(*words: str, exit_code: int = 0) -> str:
    """Run a command as if before a terminal: with colours, control characters go through."""
    result = CliRunner().invoke(loadrise, ["--store", "fleet.duckdb", *words], color=True)
    assert result.exit_code == exit_code, result.output
    return result.output


def test_nothing_steers_a_terminal(told: tuple[Path, dict[str, str]]) -> None:
    for words, text in told[1].items():
        assert text, words
        assert odd(text) == set(), words
        if not {"--json", "json", "csv"} & set(words.split()):
            assert max(map(len, text.splitlines())) <= LONGEST_LINE, words


def test_trouble_steers_no_terminal_either(told: tuple[Path, dict[str, str]]) -> None:
    odd_name = f"{hostile.SIGNS[2]}{hostile.SIGNS[0]}"
    Path("strange.csv").write_text(f"{odd_name},b\n1,2\n")
    for words, code in (
        (("ingest", odd_name), 2),
        (("ingest", "strange.csv"), 1),
        (("explain", odd_name, odd_name, "1"), 1),
        (("opinion", "--inspection", odd_name, "--panel", "p", "--position", "1"), 1),
        (("sql", f"select '{odd_name}' from"), 2),
    ):
        assert odd(_call(*words, exit_code=code)) == set(), words


def test_nothing_is_lost_on_the_way_in(told: tuple[Path, dict[str, str]]) -> None:
    report = json.loads(told[1]["ingest files --dry-run --json"])
    held = {one["holds"]: one for one in report["files"]}
    counts = [held["reading"][name] for name in ("read", "kept", "repeated", "quarantined")]
    assert counts == [768, 764, 0, 4]
    assert held["finding"]["kept"] == held["finding"]["read"] == len(hostile.findings())
    codes = {notice["code"] for notice in held["reading"]["notices"]}
    assert {"control_characters", "unseen_characters"} <= codes
    assert len(held["reading"]["ignored"]) == 2
    notes = pq.read_table(told[0] / "readings.parquet").column("note").to_pylist()
    assert hostile.LONG.replace("\u202e", "") in notes
    assert {note for note in notes if note and odd(note) - {"0x9"}} == set()


def test_no_cell_of_a_table_is_a_formula(told: tuple[Path, dict[str, str]]) -> None:
    files = [*told[0].glob("*.csv"), *(told[0] / "pages").glob("*/*.csv")]
    files = [path for path in files if path.name != "strange.csv"]
    assert len(files) > len(SUBJECTS) + 10
    texts = {path.name: path.read_text(encoding="utf-8") for path in files}
    cells = 0
    for name, text in {**texts, "sql": told[1]["sql csv"]}.items():
        for row in csv.reader(text.splitlines(keepends=True)):
            cells += len(row)
            bad = [c for c in row if FORMULA.match(c) and not NUMBER.fullmatch(c)]
            assert bad == [], name
    assert cells > 20_000


def test_a_column_map_is_written_whole(told: tuple[Path, dict[str, str]], tmp_path: Path) -> None:
    header = f'Face {hostile.MARKUP[0]}\x1b[31m\u202e "q" \\ ='
    rows = [
        {(header if name == "device_temp" else name): cell for name, cell in row.items()}
        for row in hostile.readings()[-8:]
    ]
    path, plan = hostile.write(tmp_path / "a.csv", rows), tmp_path / "map.toml"
    asked = ("ingest", str(path), "--dry-run")
    assert odd(_call(*asked, "--write-map", str(plan), exit_code=1)) == set()
    written = plan.read_text(encoding="utf-8")
    assert odd(written) == set()
    assert "device_temp" not in tomllib.loads(written)["columns"]
    shown = next(line for line in written.splitlines() if line.startswith("# Headers not used"))
    named = shown.removeprefix("# Headers not used: ").split(", ")[0]
    plan.write_text(written.replace('# device_temp = ""', f"device_temp = {named}"), "utf-8")
    second = _call(*asked, "--map", str(plan))
    assert f"device_temp from “Face {hostile.MARKUP[0]}" in second
    assert odd(second) == set()


@pytest.mark.parametrize("name", PAGES)
def test_a_page_runs_nothing_and_fits(
    browser: Browser, told: tuple[Path, dict[str, str]], name: str
) -> None:
    path = told[0] / "pages" / f"{name}.html"
    dialogs: list[str] = []
    with opened(browser, path) as seen:
        seen.page.on("dialog", lambda dialog: dialogs.append(dialog.message))
        scroll_through(seen.page)
        seen.page.evaluate("document.querySelectorAll('details').forEach((d) => d.open = true)")
        shown = seen.page.evaluate(TEXT)
        assert (seen.requests, seen.trouble, dialogs) == ([path.as_uri()], [], [])
        assert seen.page.evaluate("window.__hit") is None
        assert seen.page.evaluate("document.documentElement.scrollWidth") == SIZES["phone"][0]
        assert seen.page.evaluate(STICKS_OUT) == []
        assert (
            seen.page.evaluate("document.querySelectorAll('img, [onload], [onerror]').length") == 0
        )
    assert odd(_without_plotly(shown)) == set()
    if name != "index":
        assert "<script>window.__hit=1</script> O0" in shown
    if name.startswith("quarter"):
        assert "{{7*7}}" in shown
        assert max(map(len, shown.split())) < 400
        assert "… (cut here; cases.csv has all of it)" in shown
        tables = (told[0] / "pages" / "2026Q3-tables" / "cases.csv").read_text(encoding="utf-8")
        assert hostile.LONG.replace("\u202e", "") in tables


def _without_plotly(shown: str) -> str:
    """Leave out the unseen blank that Plotly puts into a label by itself."""
    return shown.replace("\u200b", "")


def test_the_pocket_page_takes_hostile_makes(
    browser: Browser, told: tuple[Path, dict[str, str]]
) -> None:
    path = told[0] / "pages" / "pocket.html"
    with opened(browser, path) as seen:
        type_in(seen.page, SUSPECT)
        seen.page.evaluate("document.querySelectorAll('details').forEach((d) => d.open = true)")
        makes = seen.page.eval_on_selector_all("#make option", "(all) => all.map((o) => o.value)")
        assert len(makes) == 3
        for make in makes:
            seen.page.select_option("#make", make)
            assert verdict(seen.page)
        assert odd("".join(makes)) == set()
        assert seen.page.evaluate("window.__hit") is None
        assert (seen.requests, seen.trouble) == ([path.as_uri()], [])
        assert seen.page.evaluate("document.documentElement.scrollWidth") == SIZES["phone"][0]


def test_a_figure_runs_nothing(browser: Browser, told: tuple[Path, dict[str, str]]) -> None:
    figures = sorted((told[0] / "pages" / "2026Q3-figures").glob("*.svg"))
    assert len(figures) > 10
    for path in figures:
        text = path.read_text(encoding="utf-8")
        assert odd(_without_plotly(text)) <= {"0x9"}, path.name
        with opened(browser, path) as seen:
            assert seen.page.evaluate("window.__hit") is None, path.name
            assert (seen.requests, seen.trouble) == ([path.as_uri()], []), path.name


def test_a_progress_bar_takes_any_name() -> None:
    from rich.console import Console
    from rich.progress import Progress, TextColumn

    from analytics.cli.ingest import _OneFile, name_column

    console = Console(width=80, record=True, quiet=True)
    with Progress(name_column(), console=console) as shown:
        tell: Callable[[str, int, int], None] = _OneFile(shown)
        tell("[/b][red]\x1b[31m.csv", 1, 2)
        assert [task.description for task in shown.tasks] == ["[/b][red] [31m.csv"]
        assert isinstance(shown.columns[0], TextColumn)
        assert shown.columns[0].render(shown.tasks[0]).plain == "[/b][red] [31m.csv"
