"""`loadrise explain`: a past verdict told again from the store."""

from __future__ import annotations

import click

from analytics.cli.amounts import Slot
from analytics.cli.output import print_lines, print_result
from analytics.cli.session import Session
from analytics.cli.shown import unit_option


@click.command(
    short_help="Tell a past verdict again, with all it rests on.",
    epilog="Example: loadrise --store fleet.duckdb explain V003 P003 5",
)
@click.argument("inspection")
@click.argument("panel")
@click.argument("position", type=Slot())
@click.option(
    "--screening",
    "screening_id",
    type=click.IntRange(min=1),
    metavar="NUMBER",
    help="As it stood after that screening; the last one where it is left out.",
)
@unit_option("Unit in which rises are shown, as differences; with degC they are in K.")
@click.option("--policy", "has_policy", is_flag=True, help="The text of the policy too, as kept.")
@click.option("--json", "is_json", is_flag=True, help="Print the result as JSON.")
@click.pass_obj
def command(
    session: Session,
    inspection: str,
    panel: str,
    position: int,
    screening_id: int | None,
    unit: str,
    has_policy: bool,
    is_json: bool,
) -> None:
    """Tell the verdict of a device at a visit as it was given: words, numbers, policy, baseline.

    INSPECTION, PANEL and POSITION are those of the sheet; main and 23/25 do as well. The stored
    numbers are judged again by the stored policy, and the answer is set beside what was said then.
    """
    from analytics.history import explain
    from analytics.warehouse import open_store

    with open_store(session.existing_store(), read_only=True) as warehouse:
        result = explain(warehouse, inspection, panel, position, screening_id)
    if is_json:
        print_result(result)
    else:
        hint = [] if has_policy else ["The policy's text: --policy, or --json."]
        print_lines([*result.lines(unit, has_policy=has_policy), *hint])
