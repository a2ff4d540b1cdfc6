"""`loadrise backup`: a verified copy of the store."""

from __future__ import annotations

from pathlib import Path

import click

from analytics.cli.output import as_json, say
from analytics.cli.session import Session


@click.command(
    short_help="Write a verified copy of the store.",
    epilog="Example: loadrise --store fleet.duckdb backup --out copy.duckdb",
)
@click.option(
    "--out",
    required=True,
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="File to write; an older copy of that name is replaced once the new one is verified.",
)
@click.option("--json", "is_json", is_flag=True, help="Print what was written as JSON.")
@click.pass_obj
def command(session: Session, out: Path, is_json: bool) -> None:
    """Write a copy of the store, open it again and compare every table before it counts.

    Others may read the store meanwhile; writing has to wait.
    """
    from dataclasses import asdict

    from analytics.backup import back_up
    from analytics.warehouse import open_store

    with open_store(session.existing_store(), read_only=True) as warehouse:
        result = back_up(warehouse, out)
    say(as_json(asdict(result)) if is_json else "\n".join(result.lines()))
