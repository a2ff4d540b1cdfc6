"""`loadrise agreement`: how far inspectors, cameras and clamps agree on the same device."""

from __future__ import annotations

import click

from analytics.cli.output import print_lines, print_result
from analytics.cli.session import Session


@click.command(
    short_help="Tell how far inspectors, cameras and clamps agree.",
    epilog="Example: loadrise --store fleet.duckdb agreement",
)
@click.option("--json", "is_json", is_flag=True, help="Print the result as JSON.")
@click.pass_obj
def command(session: Session, is_json: bool) -> None:
    """Find devices scanned twice within 30 days at a like load, and say how far the scans agree.

    Repeatability, what another inspector or camera adds, and each one's offset with its interval.
    Where there are no such scans it says how to make some.
    """
    from analytics import tuning
    from analytics.warehouse import open_store

    with open_store(session.existing_store(), read_only=True) as warehouse:
        result = tuning.agreement(warehouse)
    if is_json:
        print_result(result)
    else:
        print_lines(result.lines())
