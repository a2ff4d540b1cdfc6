"""`loadrise screen`: judge every reading in the store."""

from __future__ import annotations

from pathlib import Path

import click

from analytics.cli.output import print_lines, print_result
from analytics.cli.session import Session


@click.command(
    short_help="Judge every reading against the baseline and the policy.",
    epilog="Example: loadrise --store fleet.duckdb screen",
)
@click.option(
    "--policy",
    "policy_path",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Thresholds, a TOML file, in place of the policy in force (see loadrise adopt).",
)
@click.option("--json", "is_json", is_flag=True, help="Print the result as JSON.")
@click.pass_obj
def command(session: Session, policy_path: Path | None, is_json: bool) -> None:
    """Judge every reading against the baseline and the policy; needs a fitted baseline.

    The verdicts replace those of the last screening, which stay in the history (see loadrise
    explain). See them with loadrise export screening.
    """
    from analytics.policy import read_policy
    from analytics.screening import screen
    from analytics.warehouse import open_store

    policy = read_policy(policy_path) if policy_path else None
    with open_store(session.existing_store()) as warehouse:
        summary = screen(warehouse, policy)
    if is_json:
        print_result(summary)
    else:
        print_lines(summary.lines())
