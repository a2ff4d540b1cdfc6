"""What holds of every page: what its reader reads, and that text from files stays text."""

from __future__ import annotations

import html
import json
import re
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from analytics.notices import CAUTIONS, SHORT_CAUTION

if TYPE_CHECKING:
    from analytics.warehouse import Warehouse

HOSTILE = "</script><script>alert(1)</script><img src=x onerror=alert(2)>&\"'{{ 7*7 }}"


def words_of(text: str) -> str:
    """Return what the reader reads: no scripts, style or tags."""
    bare = re.sub(r"<(script|style)\b.*?</\1>|</?bdi>", _gone, text, flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", bare)).replace("\u00a0", " ").split())


def _gone(found: re.Match[str]) -> str:
    """Leave a blank for a script or style, and nothing for what only keeps a name on one line."""
    return "" if found[0] in ("<bdi>", "</bdi>") else " "


def spoil(
    warehouse: Warehouse, tables: Mapping[str, Sequence[str]], text: str, rest: str = "''"
) -> None:
    """Put a text into columns of tables; `rest` is SQL of what of `{column}` stands after it."""
    for table, columns in tables.items():
        for column in columns:
            after = rest.format(column=column)
            warehouse.execute(f"update {table} set {column} = $text || {after}", {"text": text})


def assert_cautions_and_no_promise(text: str) -> None:
    words = words_of(text)
    assert all(caution in words for caution in (*CAUTIONS, SHORT_CAUTION))
    assert not re.search(r"\b(safe|safely|pass|passed|passes)\b", words, flags=re.IGNORECASE)


def told_figures(text: str) -> list[str]:
    """Return the figures; each has a sentence and a table with at least one row."""
    figures = re.findall(r"<figure>.*?</figure>", text, flags=re.DOTALL)
    assert len(figures) == text.count("data-figure=") == text.count('type="application/json"')
    for figure in figures:
        sentence = re.search(r"<figcaption[^>]*>(.*?)</figcaption>", figure, flags=re.DOTALL)
        assert sentence
        assert re.sub(r"<[^>]+>", "", sentence[1]).strip().endswith(".")
        assert figure.count("<tbody>") >= 1
        assert figure.count("<tr>") >= 2
    return figures


def assert_stays_text(text: str) -> str:
    """Hold that HOSTILE is shown as it is and nowhere markup; return the page without scripts."""
    outside = re.sub(r"<script>.*?</script>", "", text, flags=re.DOTALL)
    assert "alert(1)" in outside
    assert "<img" not in outside
    assert "<script>alert" not in outside
    for block in re.findall(r'<script type="application/json"[^>]*>(.*?)</script>', text):
        assert "<img" not in json.dumps(json.loads(block)["data"])
    return outside
