"""`loadrise fit`: learn the baseline from the readings in the store."""

from __future__ import annotations

import click

from analytics.cli.output import print_lines, print_result
from analytics.cli.session import Session


@click.command(
    short_help="Learn how warm each class of device usually runs.",
    epilog="Example: loadrise --store fleet.duckdb fit",
)
@click.option("--json", "is_json", is_flag=True, help="Print the result as JSON.")
@click.pass_obj
def command(session: Session, is_json: bool) -> None:
    """Learn how warm each class of device usually runs, from every reading in the store.

    The new baseline is put in force with its version and what it was learned from. Where the fit
    does not settle, the earlier baseline stays.
    """
    from analytics.baseline import fit
    from analytics.warehouse import open_store

    with open_store(session.existing_store()) as warehouse:
        summary = fit(warehouse)
    if is_json:
        print_result(summary)
    else:
        print_lines(summary.lines())
