"""The options that commands share: the unit of what is shown, and the folder for pages."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

import click

UNITS = ("degF", "degC")
RISES = "Unit in which rises are shown; with degC they are in K."

Command = TypeVar("Command", bound=Callable[..., object])


def unit_option(words: str = RISES) -> Callable[[Command], Command]:
    """Return the option `--unit`, degF where nothing is said."""
    return click.option(
        "--unit", type=click.Choice(UNITS), default=UNITS[0], show_default=True, help=words
    )


def folder_option(words: str) -> Callable[[Command], Command]:
    """Return the option `--out DIR`, the current folder where nothing is said."""
    return click.option(
        "--out",
        type=click.Path(path_type=Path, file_okay=False),
        default=Path(),
        metavar="DIR",
        help=words,
    )
