"""A click group that imports a command when it is called, and turns trouble into sentences."""

from __future__ import annotations

import errno
import os
from importlib import import_module
from typing import IO, Any

import click

from analytics.errors import LoadriseError
from analytics.plain import printable

SHOW_SQL = "LOADRISE_SHOW_SQL"
"""Environment variable that has a failed query printed in full."""
STOPPED_CODE = 130
"""Exit code after an interrupt from the keyboard: 128 + 2, the usage of POSIX shells."""


class Trouble(click.ClickException):
    """A message for people: what is wrong on the first line, what to do on the second."""

    def __init__(self, message: str, remedy: str = "", exit_code: int = 1) -> None:
        super().__init__(message)
        self.remedy = remedy
        self.exit_code = exit_code  # type: ignore[misc]

    def show(self, file: IO[Any] | None = None) -> None:
        """Print to standard error, without a traceback."""
        text = "\n".join([f"loadrise: {self.format_message()}", *filter(None, [self.remedy])])
        click.echo("\n".join(map(printable, text.split("\n"))), file=file, err=True)


class LazyGroup(click.Group):
    """Commands by name with their one-line help; the module comes in when one is called.

    `table` maps each command to its line; the command `fit` is `analytics.cli.fit.command`.
    """

    def __init__(self, *args: Any, table: dict[str, str] | None = None, **more: Any) -> None:
        super().__init__(*args, **more)
        self.table = table or {}

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the names in the order of the table."""
        return list(self.table)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import the command's module and return its `command`; None for an unknown name."""
        if cmd_name not in self.table:
            return None
        command: click.Command = import_module(f"analytics.cli.{cmd_name}").command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands from the table, importing none."""
        with formatter.section("Commands"):
            formatter.write_dl(list(self.table.items()))

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command; expected trouble leaves as a sentence and an exit code."""
        try:
            return super().invoke(ctx)
        except LoadriseError as error:
            raise Trouble(_words(error), error.remedy, error.exit_code) from error
        except KeyboardInterrupt as error:
            message = "Stopped. What was not finished was not stored."
            raise Trouble(message, exit_code=STOPPED_CODE) from error
        except OSError as error:
            if error.errno == errno.EPIPE:
                raise
            raise Trouble(_os_words(error), "Check the path, its rights and the disk.") from error


def _words(error: LoadriseError) -> str:
    """Return the message; with LOADRISE_SHOW_SQL set, what failed in full after it."""
    shown = getattr(error, "__notes__", []) if os.environ.get(SHOW_SQL) else []
    return "\n".join([error.message, *shown])


def _os_words(error: OSError) -> str:
    place = f"{error.filename}: " if error.filename else ""
    return f"{place}{error.strerror or error}."
