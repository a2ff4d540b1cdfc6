"""`loadrise quarter`: the page of a quarter as one file."""

from __future__ import annotations

from pathlib import Path

import click

from analytics.cli.session import Session

UNITS = ("degF", "degC")


@click.command(
    short_help="Write the page of a quarter as one HTML file.",
    epilog="Example: loadrise --store fleet.duckdb quarter 2026Q3 --out pages",
)
@click.argument("quarter")
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path(),
    metavar="DIR",
    help="Folder to write quarter-<QUARTER>.html into; by default the current one.",
)
@click.option(
    "--unit",
    type=click.Choice(UNITS),
    default="degF",
    show_default=True,
    help="Unit in which rises are shown; with degC they are in K.",
)
@click.pass_obj
def command(session: Session, quarter: str, out: Path, unit: str) -> None:
    """Write the page of QUARTER, such as 2026Q3: what was found, what changed, what to do.

    The file opens offline, prints on paper and can be read on a phone. A quarter without readings
    gives a page that says so.
    """
    from analytics.cli.output import print_lines
    from analytics.warehouse import open_store
    from dashboards.pages.quarter import headline_lines, page
    from dashboards.quarter import collect
    from dashboards.render import page_path, render, write

    with open_store(session.existing_store(), read_only=True) as warehouse:
        record = collect(warehouse, quarter)
    path = page_path(out, quarter)
    write(render(page(record, unit)), path)
    print_lines([*headline_lines(record), "", f"Page: {path}"])
