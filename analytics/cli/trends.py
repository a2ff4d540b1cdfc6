"""`loadrise trends`: what changed and who stands apart, in plain sentences."""

from __future__ import annotations

import click

from analytics.cli.session import Session
from analytics.cli.shown import unit_option


@click.command(
    short_help="Tell what changed, and who or what stands apart.",
    epilog="Example: loadrise --store fleet.duckdb trends 2026Q3",
)
@click.argument("quarter", required=False, default="")
@unit_option("Unit of differences in the sentences; with degC they are in K.")
@click.option("--all", "is_all", is_flag=True, help="Signals of the earlier quarters too.")
@click.option("--json", "is_json", is_flag=True, help="Print everything as JSON, sizes in K.")
@click.pass_obj
def command(session: Session, quarter: str, unit: str, is_all: bool, is_json: bool) -> None:
    """Tell the signals of QUARTER, such as 2026Q3; without it of the last one.

    Each signal says who, how much with its interval, over how many readings, and how sure it is.
    Many subjects are looked at in a quarter: on a steady fleet fewer than one in 40 of them is
    named for nothing.
    """
    from analytics.cli.output import print_lines, print_result
    from analytics.trends import collect
    from analytics.trends.report import lines
    from analytics.warehouse import open_store

    with open_store(session.existing_store(), read_only=True) as warehouse:
        found = collect(warehouse, quarter, unit)
    if is_json:
        print_result(found)
    else:
        print_lines(lines(found, is_all=is_all))
