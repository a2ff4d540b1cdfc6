"""The pocket page as a file: what is inside, what it lets run, and that it is the same again."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from pathlib import Path

import pytest

from analytics.desk import open_desk
from analytics.notices import CAUTIONS
from analytics.opinion import bundle
from dashboards import theme
from dashboards.pocket.gather import pocket_page
from dashboards.pocket.page import DARK, LIGHT, data, render
from tests.cli.fleet import make_store


@pytest.fixture(scope="module")
def text(tmp_path_factory: pytest.TempPathFactory) -> str:
    store = make_store(tmp_path_factory.mktemp("pocket") / "fleet.duckdb")
    with open_desk(store) as desk:
        return render(pocket_page(bundle(desk)))


def _digest(part: str) -> str:
    return base64.b64encode(hashlib.sha256(part.encode()).digest()).decode()


def test_only_its_own_script_and_style_may_run(text: str) -> None:
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', text)
    assert policy
    rules = policy[1].replace("&#39;", "'")
    script = text.rsplit("<script>", 1)[1].split("</script>")[0]
    style = text.split("<style>")[1].split("</style>")[0]
    assert rules == (
        f"default-src 'none'; script-src 'sha256-{_digest(script)}'; "
        f"style-src 'sha256-{_digest(style)}'; base-uri 'none'; form-action 'none'"
    )
    assert not re.search(r'\s(?:on\w+|style)="', text)


def test_nothing_is_fetched(text: str) -> None:
    addresses = set(re.findall(r"\b\w+://[^\s\"'<]+", text))
    assert addresses == {"http://www.w3.org/2000/svg"}, "the name of SVG, which nobody asks for"
    assert not re.search(
        r"\b(fetch|XMLHttpRequest|WebSocket|sendBeacon|EventSource|import\()", text
    )
    assert not re.search(r"\binnerHTML|outerHTML|insertAdjacentHTML|document\.write|eval\(", text)


def test_every_caution_stands_on_it(text: str) -> None:
    plain = text.replace("&#39;", "'")
    for caution in CAUTIONS:
        assert caution in plain


def test_nothing_of_a_panel_or_a_person_is_inside(text: str) -> None:
    given = json.loads(re.search(r'id="data">(.*?)</script>', text)[1])  # type: ignore[index]
    assert "cases" not in given
    for name in ("P003", "V003", "I0", "O0", "C0"):
        assert f'"{name}"' not in text


def test_dates_and_versions_are_told(text: str) -> None:
    given = json.loads(re.search(r'id="data">(.*?)</script>', text)[1])  # type: ignore[index]
    baseline = given["baseline"]
    assert baseline["version"].startswith("b")
    assert f"Baseline {baseline['version']} of {baseline['fittedOn']}" in text
    assert baseline["policyVersion"] in text


def test_ranks_are_kept_to_the_last_bit(tmp_path: Path) -> None:
    with open_desk(make_store(tmp_path / "fleet.duckdb")) as desk:
        given = bundle(desk)
    ranks = data(pocket_page(given))["ranks"]
    points = given["tables"]["rank_point"]
    kept = sorted(
        value
        for cell in ranks.values()
        for value in memoryview(base64.b64decode(cell["z"])).cast("d").tolist()
    )
    assert kept == sorted(points["z"])
    assert sum(cell["count"] for cell in ranks.values()) == sum(
        {
            (g, b): n
            for g, b, n in zip(
                points["group_id"], points["load_band"], points["cell_count"], strict=True
            )
        }.values()
    )


@pytest.mark.parametrize("tones", [LIGHT, DARK], ids=["light", "dark"])
def test_words_and_edges_stand_out(tones: dict[str, str]) -> None:
    """WCAG 2.2, 1.4.3 and 1.4.11: 4.5 to 1 for words, 3 to 1 for edges of fields (from memory)."""
    for ground in ("paper", "card"):
        for words in ("ink", "muted", "accent"):
            assert _contrast(tones[words], tones[ground]) >= 4.5
        for edge in ("edge", "warn"):
            assert _contrast(tones[edge], tones[ground]) >= 3.0
    assert _contrast(tones["on-accent"], tones["accent"]) >= 4.5


def test_marks_stand_out_on_paper() -> None:
    for mark in theme.MARKS.values():
        assert _contrast(mark.colour, LIGHT["paper"]) >= 3.0


def _contrast(one: str, other: str) -> float:
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour: str) -> float:
    """Relative luminance of WCAG 2.2."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
