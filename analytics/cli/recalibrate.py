"""`loadrise recalibrate`: what findings make of the stated chances."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from analytics.cli.output import print_lines, print_result, told
from analytics.cli.policyfile import out_options, refuse_taken, write_policy
from analytics.cli.session import Session
from analytics.errors import NotEnoughDataError


@click.command(
    short_help="Mend the stated chances by what electricians found.",
    epilog="Example: loadrise --store fleet.duckdb recalibrate --json",
)
@click.option("--accept-guesses", is_flag=True, help="Count findings matched by a guess.")
@click.option(
    "--same-flags",
    is_flag=True,
    help="Move the chance lines along, so that the same devices are flagged.",
)
@out_options(
    "Write the policy with its calibration and the evidence to this new TOML file, for adopt."
)
@click.option("--json", "is_json", is_flag=True, help="Print the result as JSON.")
@click.pass_obj
def command(
    session: Session,
    accept_guesses: bool,
    same_flags: bool,
    out: Path | None,
    overwrite: bool,
    is_json: bool,
) -> None:
    """Fit intercept and slope of the chances' log odds on the findings, and try them across panels.

    Examined devices stand for those that nobody examined. Nothing is put in force: loadrise adopt
    does that, with the day and the evidence. With too few findings, or no gain, nothing is written.
    """
    from analytics import history
    from analytics.tuning import recalibrate
    from analytics.warehouse import open_store

    refuse_taken(out, is_overwritten=overwrite)
    with open_store(session.existing_store(), read_only=True) as warehouse:
        pending = history.unscreened(warehouse, dt.date.today())
        result = recalibrate(
            warehouse, is_same_flagged=same_flags, is_guess_accepted=accept_guesses
        )
    written = []
    if out is not None and result.policy is not None:
        written = ["", write_policy(out, result.toml(dt.date.today()), result.policy.version)]
    if is_json:
        print_result(result, unscreened_policy=pending)
    else:
        print_lines([*told(pending), *result.lines(), *written])
    if out is not None and result.policy is None:
        raise NotEnoughDataError(f"Nothing is to be recalibrated, so {out} was not written.")
