"""A query's header is checked, not trusted."""

from __future__ import annotations

import pytest

from analytics import querybook
from tests.architecture.parsed import all_names, parsed

ORDER = (
    ("records",),
    ("staging",),
    ("normalise",),
    ("fitting",),
    ("baseline",),
    ("judging",),
    ("screening",),
    ("opinion", "tuning", "trends"),
    ("marts",),
)
"""Data flows one way: a query reads its own folder or an earlier one."""
RAW_READERS = ("staging", "normalise", "tuning", "marts", "checks")
"""Only these read what is kept for good (`records`)."""
HANDED_READERS = ("staging", "checks")
"""Only these read frames that Python hands over by a bare name."""
LONGEST = 90
NAMES = all_names()


def _place(folder: str) -> int:
    return next(i for i, names in enumerate(ORDER) if folder in names)


@pytest.mark.parametrize("name", NAMES)
def test_header_tells_what_the_query_does(name: str) -> None:
    query, found = querybook.load(name), parsed(name)
    assert found.count == 1, "one select a file"
    assert set(query.reads) == found.reads
    assert set(query.params) == found.params
    assert query.header["title"]
    assert query.header["grain"].startswith(("one row", "one column"))


@pytest.mark.parametrize("name", NAMES)
def test_data_flows_one_way(name: str) -> None:
    folder = querybook.load(name).folder
    for table in parsed(name).reads:
        schema, dot, _ = table.partition(".")
        if not dot:
            assert folder in HANDED_READERS, f"{table} has no folder"
        elif schema == "records":
            assert folder in RAW_READERS, f"{name} reads {table}"
        else:
            assert _place(schema) <= _place(folder), f"{name} reads {table}"


@pytest.mark.parametrize("name", NAMES)
def test_reads_tables_that_are_made(name: str) -> None:
    """What is read is a query's table, a kept table, or one that a stage puts from Python."""
    made_here = {"fitting", "baseline", "judging", "opinion", "records"}
    for table in parsed(name).reads:
        schema, dot, _ = table.partition(".")
        assert not dot or table in NAMES or schema in made_here, f"nobody makes {table}"


@pytest.mark.parametrize("folder", [*querybook.folders(), "macros", "migrations"])
def test_files_are_short(folder: str) -> None:
    if folder in querybook.folders():
        texts = {name: querybook.load(name).sql for name in querybook.names(folder)}
    else:
        texts = dict(querybook.statements(folder))
    long = {name: n for name, t in texts.items() if (n := len(t.splitlines())) > LONGEST}
    assert long == {}


@pytest.mark.parametrize("name", NAMES)
def test_floating_sums_are_exact(name: str) -> None:
    """Sums of floats add in the order of threads; `fsum` does not depend on it."""
    text = querybook.load(name).sql
    assert " avg(" not in text, "use fsum(x) / count(x)"


def test_there_are_queries() -> None:
    assert len(NAMES) > 40
    assert all(folder == "checks" or _place(folder) >= 0 for folder in querybook.folders())
