"""`loadrise export`: rows of the store as a file."""

from __future__ import annotations

from pathlib import Path

import click

from analytics.cli.output import print_lines, print_result
from analytics.cli.session import Session

SUBJECTS = ("screening", "readings", "rechecks", "quarantine")
"""Named again here so that help needs no database; a test holds them to `analytics.export`."""


@click.command(
    short_help="Write readings, verdicts or rejected rows to a file.",
    epilog="Example: loadrise --store fleet.duckdb export screening --out screening.parquet",
)
@click.argument("subject", type=click.Choice(SUBJECTS))
@click.option(
    "--out",
    required=True,
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="File to write, .parquet or .csv; an older file of that name is replaced.",
)
@click.option("--json", "is_json", is_flag=True, help="Print what was written as JSON.")
@click.pass_obj
def command(session: Session, subject: str, out: Path, is_json: bool) -> None:
    """Write one SUBJECT to a file: one row a reading, or one row a reason.

    Temperatures are in °C, differences in K. A CSV cell that a spreadsheet would take for a
    formula gets a quote mark before it. The cautions go along: in Parquet as metadata, in CSV as
    the last column.
    """
    from analytics.export import export
    from analytics.warehouse import open_store

    with open_store(session.existing_store(), read_only=True) as warehouse:
        written = export(warehouse, subject, out)
    if is_json:
        print_result(written)
    else:
        print_lines(written.lines())
