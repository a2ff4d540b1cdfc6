"""`loadrise explain`: a past verdict told again from the store."""

from __future__ import annotations

import click

from analytics.cli.output import print_lines, print_result
from analytics.cli.session import Session

LAST_SLOT = 2**31 - 1
"""The largest number that the store's slots, whole numbers of 32 bits, can hold."""


@click.command(
    short_help="Tell a past verdict again, with all it rests on.",
    epilog="Example: loadrise --store fleet.duckdb explain V003 P003 5",
)
@click.argument("inspection")
@click.argument("panel")
@click.argument("position", type=click.IntRange(0, LAST_SLOT))
@click.option(
    "--screening",
    "screening_id",
    type=click.IntRange(min=1),
    metavar="NUMBER",
    help="As it stood after that screening; the last one where it is left out.",
)
@click.option("--json", "is_json", is_flag=True, help="Print the result as JSON.")
@click.pass_obj
def command(
    session: Session,
    inspection: str,
    panel: str,
    position: int,
    screening_id: int | None,
    is_json: bool,
) -> None:
    """Tell the verdict of a device at a visit as it was given: words, numbers, policy, baseline.

    INSPECTION, PANEL and POSITION are those of the sheet. The stored numbers are judged again by
    the stored policy, and the answer is set beside what was said then.
    """
    from analytics.history import explain
    from analytics.warehouse import open_store

    with open_store(session.existing_store(), read_only=True) as warehouse:
        result = explain(warehouse, inspection, panel, position, screening_id)
    if is_json:
        print_result(result)
    else:
        print_lines(result.lines())
