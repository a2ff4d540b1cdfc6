"""Trouble that stops the work: one base class, a sentence and what to do about it."""

from __future__ import annotations

import re


class LoadriseError(Exception):
    """Base of every error that Loadrise raises on purpose.

    The message says what is wrong and where; `remedy` says what to do. The command line prints
    both without a traceback and leaves with `exit_code` (1 data trouble, 2 usage).
    """

    exit_code = 1

    def __init__(self, message: str, remedy: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.remedy = remedy

    def __str__(self) -> str:
        return f"{self.message} {self.remedy}".strip()


class UsageError(LoadriseError):
    """The command or its arguments are off; nothing was read or written."""

    exit_code = 2


class InputError(LoadriseError):
    """A file cannot be read as what it claims to be."""


class StoreError(LoadriseError):
    """The store cannot be opened, is newer than this program, or is damaged."""


class StoreBusyError(StoreError):
    """Another process writes to the store, or reads while this one wants to write."""


class QueryError(LoadriseError):
    """A query file is malformed or its SQL failed; the message names the query.

    `sql` is the statement and `trouble` all that the database said of it. Both stand in a
    traceback; the command line prints them where LOADRISE_SHOW_SQL is set.
    """

    def __init__(self, message: str, remedy: str = "", sql: str = "", trouble: str = "") -> None:
        super().__init__(message, remedy)
        self.sql = sql
        self.trouble = trouble or message
        if sql:
            self.add_note(f"{self.trouble}\nin: {sql}")


def query_failed(sql: str, trouble: str) -> QueryError:
    """Return the error of a statement that failed: its title, the first line of the trouble."""
    first = trouble.partition("\n")[0]
    title = re.search(r"^-- title: (.+)$", sql, re.MULTILINE)
    if title is None:
        return QueryError(first, sql=sql, trouble=trouble)
    return QueryError(
        f"The query “{title[1]}” failed: {first}",
        "Set LOADRISE_SHOW_SQL=1 to see all of it; nothing was changed by it.",
        sql=sql,
        trouble=trouble,
    )


class NotEnoughDataError(LoadriseError):
    """There is too little data for what was asked; the message says how much is needed."""


class NotConvergedError(LoadriseError):
    """An iteration stopped without converging.

    `history` holds one record per pass, so that the reader sees what moved.
    """

    def __init__(self, message: str, remedy: str = "", history: tuple[object, ...] = ()) -> None:
        super().__init__(message, remedy)
        self.history = history
