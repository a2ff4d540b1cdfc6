"""The numbers behind the quarterly page as CSV files, one a kind of record, always the same."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, fields, is_dataclass
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, get_type_hints

from analytics.export import write_rows
from analytics.trends import records as trends
from dashboards import quarter_found as found
from dashboards import quarter_kept as kept
from dashboards import quarter_records as own
from dashboards.quarter_listed import Listed
from dashboards.quarter_records import QuarterRecord

if TYPE_CHECKING:
    from analytics.warehouse import Warehouse

Rows = Sequence[Any]


@dataclass(frozen=True)
class TableFile:
    """A CSV file: its name, what it holds, the kind of record, and how a page's record has it."""

    name: str
    title: str
    kind: type
    rows: Callable[[QuarterRecord], Rows]


def _of_trends(name: str) -> Callable[[QuarterRecord], Rows]:
    return lambda record: getattr(record.trends, name) if record.trends else ()


def _worse(record: QuarterRecord) -> Rows:
    held = record.trends.pairs if record.trends else ()
    return [worse for one in held if one.quarter == record.quarter for worse in one.worse]


TABLES = (
    TableFile("signals", "Signals of this quarter and of those before; each row names its unit",
              trends.Signal, _of_trends("signals")),
    TableFile("quarters", "Counts and shares of each quarter", own.QuarterCount,
              lambda record: record.counts),
    TableFile("limits", "Control chart of the firm’s shares", trends.QuarterShare,
              _of_trends("quarters")),
    TableFile("moves", "Changes, like for like", trends.Move, _of_trends("moves")),
    TableFile("repeats", "Devices read again, changes in K", trends.Pairs, _of_trends("pairs")),
    TableFile("worse", "Devices that grew hotter for their current, in K", trends.Worse, _worse),
    TableFile("courses", "By quarter: cameras, inspectors, offices in K; makes, 0.1 is 10 % hotter",
              trends.Point, _of_trends("points")),
    TableFile("beside", "Counts of a year beside what others would have found",
              trends.Standing, _of_trends("standings")),
    TableFile("shares", "Shares of the quarter by class, make, office, camera and inspector",
              own.Standing, lambda record: record.standings),
    TableFile("flagged_and_over", "All flagged and all over-limit devices, rises in K", Listed,
              lambda record: record.listed),
    TableFile("cases", "Cases to act on, rises in K", own.Case, lambda record: record.cases),
    TableFile("case_panels", "Devices of the cases’ panels, rises in K", own.Slot,
              lambda record: record.slots),
    TableFile("case_bands", "What is usual for each case, rises in K", own.BandPoint,
              lambda record: record.drawable_bands),
    TableFile("referrals", "What electricians found, by quarter", own.Referral,
              lambda record: record.referrals),
    TableFile("referrals_by_office", "What electricians found, by quarter and office",
              trends.Referral, _of_trends("referrals")),
    TableFile("offices", "What each office scanned, what of it is open, what was found",
              found.Office, lambda record: record.offices),
    TableFile("chances", "Stated chances and what was found, all quarters", found.Chance,
              lambda record: record.chances),
    TableFile("verdicts", "What was found by verdict, flagged or not, all quarters",
              found.VerdictFound, lambda record: record.verdicts),
    TableFile("makes", "What was found by make, all quarters", found.MadeFound,
              lambda record: record.makes),
    TableFile("unjudged", "Readings that could not be judged", kept.Unjudged,
              lambda record: record.unjudged),
    TableFile("habits", "How often each inspector kept each habit", trends.HabitShare,
              _of_trends("habits")),
    TableFile("protocols", "How completely each inspector read, by quarter", trends.Protocol,
              _of_trends("protocols")),
    TableFile("rejected", "Rows that were rejected", kept.Rejected, lambda record: record.rejected),
    TableFile("rechecks", "Readings that contradict themselves", kept.Recheck,
              lambda record: record.rechecks),
    TableFile("astray", "Readings with a date in no quarter", kept.Astray,
              lambda record: record.astray),
    TableFile("versions", "What the verdicts rest on", own.Version,
              lambda record: record.versions),
)  # fmt: skip
"""In the order of the page."""


def folder_name(quarter: str) -> str:
    """Return the name of the folder of a quarter's tables, beside its page."""
    return f"{quarter}-tables"


def write_tables(warehouse: Warehouse, record: QuarterRecord, out: Path) -> Path:
    """Write every table of a page into its folder beside the page; one without rows has a header.

    Each file carries the caution in its last column, and text that a spreadsheet would take for a
    formula a quote mark before it.
    """
    folder = out / folder_name(record.quarter)
    folder.mkdir(parents=True, exist_ok=True)
    for table in TABLES:
        rows = table.rows(record)
        columns = {
            name: [_plain(value(row)) for row in rows] for name, value in _columns(table.kind)
        }
        write_rows(warehouse, columns, folder / f"{table.name}.csv")
    return folder


def _columns(kind: type) -> Iterator[tuple[str, Callable[[Any], object]]]:
    """Yield the columns of a record with how to read them; a record within counts by its fields."""
    hints = get_type_hints(kind)
    for field in fields(kind):
        inner = hints[field.name]
        if is_dataclass(inner):
            assert isinstance(inner, type)
            for name, value in _columns(inner):
                yield f"{field.name}_{name}", _within(field.name, value)
        elif inner in SIMPLE or any(inner == one | None for one in SIMPLE):
            yield field.name, _getter(field.name)


SIMPLE = (str, int, float, bool, date, datetime)


def _getter(name: str) -> Callable[[Any], object]:
    return lambda row: getattr(row, name)


def _within(name: str, value: Callable[[Any], object]) -> Callable[[Any], object]:
    return lambda row: value(getattr(row, name))


def _plain(value: object) -> object:
    """Leave a number that is none out."""
    return None if isinstance(value, float) and not math.isfinite(value) else value
