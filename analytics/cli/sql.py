"""`loadrise sql`: a read-only question to the store."""

from __future__ import annotations

import click

from analytics.cli.output import FORMATS, print_rows
from analytics.cli.session import Session


@click.command(
    short_help="Ask the store a question of your own, read-only.",
    epilog=(
        "Example: loadrise --store fleet.duckdb sql "
        '"select verdict, count(*) as readings from screening.result group by verdict"'
    ),
)
@click.argument("query")
@click.option(
    "--format",
    "form",
    type=click.Choice(FORMATS),
    default="table",
    show_default=True,
    help="How to print the rows.",
)
@click.pass_obj
def command(session: Session, query: str, form: str) -> None:
    """Ask the store a question of your own: QUERY is one select; nothing can be changed by it.

    Temperatures are in °C (_degc), differences in K (_k), currents in A (_a).
    """
    from analytics.question import ask
    from analytics.warehouse import open_store

    with open_store(session.require_store(), read_only=True) as warehouse:
        answer = ask(warehouse, query)
    print_rows(answer.names, answer.rows, form)
