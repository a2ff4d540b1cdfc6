"""`loadrise form`: write a blank field form."""

from __future__ import annotations

from pathlib import Path

import click

from analytics.cli.output import print_lines
from analytics.cli.shown import unit_option


@click.command(
    short_help="Write a blank field form for the inspectors.",
    epilog="Example: loadrise form --out form.xlsx",
)
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    required=True,
    metavar="FILE",
    help="Where to write; ends in .xlsx (with drop-down lists and an example) or .csv.",
)
@unit_option("Unit of the form's temperatures.")
def command(out: Path, unit: str) -> None:
    """Write a blank form that loadrise ingest takes in as written."""
    from analytics.ingest.form import write_form

    write_form(out, unit)
    print_lines([f"A blank form was written to {out}."])
