"""`loadrise diagnostics`: what the verdicts rest on, as one page for the quality lead."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from analytics.cli.session import Session
from analytics.cli.shown import folder_option, unit_option

if TYPE_CHECKING:
    from dashboards.diagnostics_records import DiagnosticsRecord


@click.command(
    short_help="Write the page of what the verdicts rest on.",
    epilog="Example: loadrise --store fleet.duckdb diagnostics --out pages",
)
@folder_option("Folder to write diagnostics.html into; by default the current one.")
@unit_option()
@click.option(
    "--no-weights-check",
    "is_unchecked",
    is_flag=True,
    help="Leave out the two fits in memory that compare with and without weights.",
)
@click.option("--json", "is_json", is_flag=True, help="Print the numbers of the page as JSON.")
@click.pass_obj
def command(session: Session, out: Path, unit: str, is_unchecked: bool, is_json: bool) -> None:
    """Write one page: how much each class rests on, what is left over, and what was not judged.

    With residuals by load, air, minutes, camera and office, the reach of the healthy interval, and
    the same fit with weights. The store is only read. An empty store gives a page that says so.
    """
    from analytics.cli.output import print_lines, print_result
    from dashboards.pages.diagnostics import headline_lines, page
    from dashboards.render import render, write

    record = _record(session.existing_store(), is_checked=not is_unchecked)
    path = out / "diagnostics.html"
    write(render(page(record, unit), "diagnostics"), path)
    if is_json:
        print_result(record)
    else:
        print_lines([*headline_lines(record, unit), "", f"Page: {path}"])


def _record(store: Path, *, is_checked: bool) -> DiagnosticsRecord:
    from analytics.warehouse import open_store
    from dashboards.diagnostics import collect
    from dashboards.diagnostics_records import WeightsCheck

    with open_store(store, read_only=True) as warehouse:
        record = collect(warehouse)
    if record.counts is None or not record.counts.taught_count:
        return replace(record, weights=WeightsCheck(trouble="There is nothing to weigh yet."))
    if not is_checked:
        return replace(record, weights=WeightsCheck(trouble="Left out, as was asked for."))
    from dashboards.diagnostics_weights import check_weights

    return replace(record, weights=check_weights(store))
