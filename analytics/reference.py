"""The generated parts of the documents: commands, glossary, queries, so that they stay true."""

from __future__ import annotations

from collections.abc import Iterable

import click

from analytics import querybook
from analytics.columns import (
    DEVICE_CLASSES,
    DIAGNOSTIC_COLUMNS,
    FINDING_COLUMNS,
    FINDINGS,
    MEASURE_COLUMNS,
    READING_COLUMNS,
    SCREENING_COLUMNS,
    VERDICTS,
    Column,
)
from analytics.errors import UsageError

HELP_WIDTH = 88
"""Width of the help texts, in characters; chosen so that they fit a printed page."""
STAGE_FOLDERS = (
    "staging",
    "normalise",
    "fitting",
    "baseline",
    "judging",
    "screening",
    "opinion",
    "tuning",
    "trends",
    "marts",
    "checks",
)
"""Folders of queries in the order in which data flows."""


def commands(group: click.Group) -> str:
    """Return the help of the group and of each command in it, as Markdown."""
    root = _context(group, "loadrise", None)
    parts = [_block("loadrise", group.get_help(root))]
    for name in group.list_commands(root):
        command = group.get_command(root, name)
        if command is not None:
            text = command.get_help(_context(command, name, root))
            parts.append(_block(f"loadrise {name}", text))
    return "\n\n".join(parts)


def _context(command: click.Command, name: str, parent: click.Context | None) -> click.Context:
    """Return the context that a call would have, since a command keeps the options of its first."""
    widths = {"terminal_width": HELP_WIDTH, "max_content_width": HELP_WIDTH}
    settings = {**command.context_settings, **widths}
    return click.Context(command, parent=parent, info_name=name, **settings)


def _block(title: str, text: str) -> str:
    return f"### {title}\n\n```text\n{text.rstrip()}\n```"


def glossary() -> str:
    """Return every column with its unit, meaning and plausible range, and the fixed words."""
    return "\n\n".join(
        [
            _columns("A reading, as kept", READING_COLUMNS),
            _columns("A finding, as kept", FINDING_COLUMNS),
            _columns("Derived measures", MEASURE_COLUMNS),
            _columns("A screened reading, as exported", SCREENING_COLUMNS),
            _columns("Measures of the diagnostics page", DIAGNOSTIC_COLUMNS),
            _words("Verdicts", VERDICTS),
            _words("Device classes", DEVICE_CLASSES),
            _words("Findings", FINDINGS),
        ]
    )


def _columns(title: str, columns: Iterable[Column]) -> str:
    rows = [(f"`{c.name}`", c.unit or "–", _range(c), c.meaning) for c in columns]
    return f"### {title}\n\n{_table(('column', 'unit', 'plausible', 'meaning'), rows)}"


def _words(title: str, words: dict[str, str]) -> str:
    rows = [(f"`{word}`", meaning) for word, meaning in words.items()]
    return f"### {title}\n\n{_table(('word', 'meaning'), rows)}"


def _range(column: Column) -> str:
    if column.low is None or column.high is None:
        return "required" if column.is_required else ""
    return f"{column.low:g} to {column.high:g}" + (", required" if column.is_required else "")


def queries() -> str:
    """Return every query with its grain and what it reads, in the order in which data flows."""
    known = querybook.folders()
    names = [
        name for folder in STAGE_FOLDERS if folder in known for name in querybook.names(folder)
    ]
    rows = [
        (f"`{q.name}`", q.header["title"], q.header["grain"], ", ".join(q.reads) or "–")
        for q in map(querybook.load, names)
    ]
    return _table(("table", "title", "grain", "reads"), rows)


def _table(head: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    lines = [head, tuple("---" for _ in head), *rows]
    cells = ([cell.replace("|", "\\|") for cell in line] for line in lines)
    return "\n".join(f"| {' | '.join(line)} |" for line in cells)


def blocks(group: click.Group) -> dict[str, str]:
    """Return each generated part by its name."""
    return {"commands": commands(group), "glossary": glossary(), "queries": queries()}


def renew(text: str, parts: dict[str, str]) -> str:
    """Put each part between its markers `<!-- generated: name -->` and `<!-- end: name -->`.

    Raises UsageError where a pair of markers is missing.
    """
    for name, part in parts.items():
        start, end = f"<!-- generated: {name} -->", f"<!-- end: {name} -->"
        if text.count(start) != 1 or text.count(end) != 1:
            raise UsageError(f"The document lacks the markers of “{name}”.", f"Add {start} {end}.")
        before, _, rest = text.partition(start)
        after = rest.partition(end)[2]
        text = f"{before}{start}\n\n{part}\n\n{end}{after}"
    return text
