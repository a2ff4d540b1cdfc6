"""`loadrise quarter`: the page of a quarter as one file."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

import click

from analytics.cli.session import Session
from analytics.cli.shown import folder_option, unit_option

if TYPE_CHECKING:
    from dashboards.quarter_files import Written


@click.command(
    short_help="Write the page of a quarter as one HTML file.",
    epilog="Example: loadrise --store fleet.duckdb quarter 2026Q3 --out pages",
)
@click.argument("quarter", required=False, default="")
@folder_option("Folder to write into; by default the current one.")
@unit_option()
@click.option(
    "--figures",
    "form",
    type=click.Choice(("svg", "png")),
    help="The figures as pictures for slides too; needs Chromium or Chrome installed.",
)
@click.option("--all", "is_all", is_flag=True, help="The pages of all quarters in the store.")
@click.pass_obj
def command(
    session: Session, quarter: str, out: Path, unit: str, form: str | None, is_all: bool
) -> None:
    """Write the page of QUARTER, such as 2026Q3; without it that of the last one.

    What was found, what changed, who or what stands apart, what to do. The file opens offline,
    prints on paper and can be read on a phone. A quarter without readings gives a page that says
    so.
    """
    from analytics import history
    from analytics.cli.output import print_lines, told
    from analytics.errors import UsageError
    from analytics.warehouse import open_store
    from dashboards.pages.quarter import headline_lines
    from dashboards.quarter import last_quarter
    from dashboards.quarter_files import write_all, write_quarter
    from dashboards.render import index_path

    if is_all and quarter:
        raise UsageError("A quarter was named, and --all asked for too.", "Choose one of them.")
    with open_store(session.existing_store(), read_only=True) as warehouse:
        pending = history.unscreened(warehouse, dt.date.today())
        if is_all:
            made = write_all(warehouse, out, unit, form or "")
        else:
            wanted = quarter or last_quarter(warehouse)
            made = [write_quarter(warehouse, wanted, out, unit, form or "")]
    head = headline_lines(made[-1].record) if made else ["No reading has a verdict yet."]
    files = [line for one in made for line in _files(one)]
    print_lines([*told(pending), *head, "", *files, f"All quarters: {index_path(out)}"])


def _files(made: Written) -> list[str]:
    lines = [f"Page: {made.page}", f"Tables: {made.tables}"]
    if made.pictures is not None:
        lines.append(made.pictures.trouble or f"Figures: {made.pictures.folder}")
    return lines
