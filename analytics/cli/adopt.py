"""`loadrise adopt`: put a policy in force."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

import click

from analytics.cli.amounts import Day
from analytics.cli.output import print_lines, print_result
from analytics.cli.session import Session
from analytics.errors import UsageError

if TYPE_CHECKING:
    from analytics.history.policies import Adopted, PastPolicies


@click.command(
    short_help="Put a policy in force, dated and kept with its text.",
    epilog="Example: loadrise --store fleet.duckdb adopt --write policy.toml",
)
@click.argument("policy", type=click.Path(path_type=Path), metavar="[FILE]", required=False)
@click.option(
    "--write",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write the policy in force to a new file, to be changed and adopted.",
)
@click.option(
    "--from",
    "since",
    type=Day(),
    metavar="DAY",
    help="First day in force, such as 2026-10-01; today where it is left out.",
)
@click.option("--remark", metavar="TEXT", help="Why, in the firm's own words; kept with it.")
@click.option("--list", "is_listed", is_flag=True, help="List what was adopted, the latest first.")
@click.option("--json", "is_json", is_flag=True, help="Print the result as JSON.")
@click.pass_obj
def command(
    session: Session,
    policy: Path | None,
    write: Path | None,
    since: dt.date | None,
    remark: str | None,
    is_listed: bool,
    is_json: bool,
) -> None:
    """Check a policy FILE (TOML), date it and keep it; loadrise screen judges by it from then on.

    What is wrong is told line by line and nothing is kept. Earlier policies stay with their dates.
    """
    from analytics.history import adopt, past_policies, write_policy
    from analytics.warehouse import open_store

    if (policy is not None) + (write is not None) + is_listed != 1:
        raise UsageError(
            "Give a policy FILE to adopt, --write FILE to get one to change, or --list."
        )
    today = dt.date.today()
    result: Adopted | PastPolicies
    with open_store(session.existing_store(), read_only=policy is None) as warehouse:
        if write is not None:
            version = write_policy(warehouse, write, today)
            print_lines([f"Policy {version} written to {write}."])
            return
        if policy is None:
            result = past_policies(warehouse)
        else:
            result = adopt(warehouse, policy, today=today, in_force_from=since, remark=remark)
    if is_json:
        print_result(result)
    else:
        print_lines(result.lines())
