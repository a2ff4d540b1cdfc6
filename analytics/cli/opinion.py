"""`loadrise opinion`: a second opinion on one reading."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

import click

from analytics.cli.session import Session
from analytics.cli.shown import UNITS
from analytics.errors import UsageError

EPILOG = (
    "Example: loadrise --store fleet.duckdb opinion --class afci --rating 20 --ambient 64F "
    "--device 101F --current 9.2A --minutes 30"
)
TYPED: dict[str, tuple[str, str]] = {
    "class": ("WORD", "Class of the device: standard, afci, gfci, main …"),
    "rating": ("AMPS", "Its rating, such as 20 or 20A."),
    "ambient": ("TEMP", "The air before the panel, with its unit: 64F, 18C."),
    "device": ("TEMP", "The device's face."),
    "current": ("AMPS", "The clamped current; of several poles the largest."),
    "minutes": ("MINUTES", "Since its loads came on."),
    "poles": ("N", "1, 2 or 3; where left out 2 for a main, else 1."),
    "make": ("TEXT", "Its make."),
    "termination": ("TEMP", "Its load-side termination."),
    "conductor": ("TEMP", "The wire, a hand's breadth away."),
    "floor": ("TEMP", "The panel's coolest breakers; they narrow the answer most."),
}
STORED = {
    "inspection": ("ID", "A reading of the store instead: its inspection,"),
    "panel": ("ID", "its panel"),
    "position": ("SLOT", "and its slot."),
}


def _options(command: Callable[..., None]) -> Callable[..., None]:
    for name, (metavar, words) in reversed({**TYPED, **STORED}.items()):
        kind = int if name == "position" else str
        command = click.option(f"--{name}", name, type=kind, metavar=metavar, help=words)(command)
    return command


@click.command(short_help="Give a second opinion on one reading.", epilog=EPILOG)
@_options
@click.option(
    "--beside",
    multiple=True,
    metavar="TEMP",
    help="The device above; once more, the device below.",
)
@click.option(
    "--unit",
    type=click.Choice(UNITS),
    help="Unit of the sentences; by default that of --ambient, degF for a stored reading.",
)
@click.option("--json", "is_json", is_flag=True, help="Print all of it as JSON.")
@click.pass_obj
def command(
    session: Session,
    /,
    beside: tuple[str, ...],
    unit: str | None,
    is_json: bool,
    **words: Any,
) -> None:
    """Judge one reading, typed or stored, and say what the verdict is worth.

    Expected band, rank, heat ratio, projected rise, what to measure next and what that would
    settle, past cases most alike, a paragraph for the report. Answers from the baseline and the
    policy in force; the store is only read.
    """
    from analytics.cli.output import as_json, say
    from analytics.desk import open_desk
    from analytics.opinion.judge import judge, judge_stored
    from analytics.opinion.parse import read_typed
    from analytics.opinion.text import lines

    if _is_stored(words, beside):
        with open_desk(session.existing_store()) as desk:
            key = (words["inspection"], words["panel"], words["position"])
            found = judge_stored(desk, *key, unit=unit or UNITS[0])
    else:
        reading = read_typed(words, beside)
        reading = replace(reading, unit=unit or reading.unit)
        with open_desk(session.existing_store()) as desk:
            found = judge(desk, reading)
    say(as_json(found) if is_json else "\n".join(lines(found)))


def _is_stored(words: Mapping[str, Any], beside: tuple[str, ...]) -> bool:
    """Tell whether a stored reading is asked for. Raises UsageError for half a name or both."""
    named = [name for name in STORED if words[name] is not None]
    typed = [f"--{name}" for name in TYPED if words[name] is not None] + ["--beside"] * bool(beside)
    if named and typed:
        raise UsageError(
            f"{typed[0]}: a stored reading has its own.",
            "Either type a reading, or name one by --inspection, --panel and --position.",
        )
    if named and len(named) < len(STORED):
        missing = ", ".join(f"--{name}" for name in STORED if name not in named)
        raise UsageError(f"{missing}: needed to find the stored reading.")
    return bool(named)
