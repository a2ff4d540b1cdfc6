"""The book of queries: each `.sql` file is one select, one table, with a header that is checked.

`queries/baseline/fit.sql` is the query `baseline.fit`. The header is a block of `-- key: value`
lines; continuation lines are indented by the comment mark and three blanks or more.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from analytics.errors import QueryError

HEADER_KEYS = ("title", "grain", "key", "reads", "params", "source", "caveat")
NOT_QUERIES = ("macros", "migrations", "__pycache__")
_HEADER_LINE = re.compile(r"^-- (\w+):\s*(.*)$")
_COMMENT = re.compile(r"^\s*--.*\n", re.MULTILINE)


@dataclass(frozen=True)
class Query:
    """One query: its name `folder.file`, its header and its SQL."""

    name: str
    header: dict[str, str]
    sql: str

    @property
    def folder(self) -> str:
        """The stage the query belongs to."""
        return self.name.split(".", maxsplit=1)[0]

    @property
    def reads(self) -> tuple[str, ...]:
        """The tables it reads, as its header says."""
        return _words(self.header.get("reads", ""))

    @property
    def key(self) -> tuple[str, ...]:
        """The columns that are unique together in its result."""
        return _words(self.header.get("key", ""))

    @property
    def params(self) -> tuple[str, ...]:
        """The names of its parameters, without units and meaning."""
        text = self.header.get("params", "")
        return tuple(re.findall(r"\$(\w+)", text))


def _words(text: str) -> tuple[str, ...]:
    words = (word.strip() for word in text.split(","))
    return tuple(word for word in words if word and word != "none")


def parse(name: str, text: str) -> Query:
    """Split a query file into header and SQL.

    Raises QueryError where the header has an unknown key or lacks title, grain or reads.
    """
    header: dict[str, str] = {}
    last = ""
    for line in text.splitlines():
        if not line.startswith("--"):
            break
        if found := _HEADER_LINE.match(line):
            last = found[1]
            header[last] = found[2].strip()
        elif last:
            header[last] = f"{header[last]} {line[2:].strip()}".strip()
    _check(name, header)
    return Query(name, header, text.strip().rstrip(";"))


def _check(name: str, header: dict[str, str]) -> None:
    unknown = sorted(set(header) - set(HEADER_KEYS))
    missing = [key for key in ("title", "grain", "reads") if key not in header]
    if unknown or missing:
        raise QueryError(f"Query {name}: unknown header {unknown}, missing header {missing}.")


@cache
def load(name: str) -> Query:
    """Return the query called `folder.file`. Raises QueryError where there is none."""
    folder, _, file = name.partition(".")
    path = files("queries").joinpath(folder, f"{file}.sql")
    if not path.is_file():
        raise QueryError(f"There is no query {name}.")
    return parse(name, path.read_text(encoding="utf-8"))


def inlined(name: str, through: Collection[str]) -> str:
    """Return a query's SQL with the queries `through` in place of the tables so called.

    Nothing is kept in between: rows stream from the first query to the last, and columns that the
    last one does not ask for are never worked out. Parameters of one name share one value.
    """
    sql = _COMMENT.sub("", load(name).sql)
    for table in (one for one in load(name).reads if one in through):
        inner = f"(\n{inlined(table, through)}\n)"
        sql = inner.join(re.split(rf"\b{re.escape(table)}\b", sql))
    return sql


def folders() -> list[str]:
    """Return the folders of queries, sorted; macros and migrations are none."""
    entries = files("queries").iterdir()
    found = sorted(entry.name for entry in entries if entry.is_dir())
    return [name for name in found if name not in NOT_QUERIES]


def names(folder: str) -> list[str]:
    """Return the names of the queries in one folder, sorted."""
    entries = files("queries").joinpath(folder).iterdir()
    found = sorted(e.name.removesuffix(".sql") for e in entries if e.name.endswith(".sql"))
    return [f"{folder}.{name}" for name in found]


def statements(folder: str) -> Iterator[tuple[str, str]]:
    """Yield (name, SQL) of macros or migrations, in the order of their names."""
    for name in names(folder):
        folder_name, _, file = name.partition(".")
        path = files("queries").joinpath(folder_name, f"{file}.sql")
        yield name, path.read_text(encoding="utf-8")
