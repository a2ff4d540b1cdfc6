"""`loadrise recalibrate`: what findings make of the stated chances."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from analytics.cli.output import print_lines, print_result
from analytics.cli.session import Session
from analytics.errors import UsageError


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
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write the policy with its calibration and the evidence to this TOML file, for adopt.",
)
@click.option("--json", "is_json", is_flag=True, help="Print the result as JSON.")
@click.pass_obj
def command(
    session: Session, accept_guesses: bool, same_flags: bool, out: Path | None, is_json: bool
) -> None:
    """Fit intercept and slope of the chances' log odds on the findings, and try them across panels.

    Examined devices stand for those that nobody examined. Nothing is put in force: loadrise adopt
    does that, with the day and the evidence. With too few findings, or no gain, nothing is written.
    """
    from analytics.drafts import put_in_place
    from analytics.tuning import recalibrate
    from analytics.warehouse import open_store

    with open_store(session.existing_store(), read_only=True) as warehouse:
        result = recalibrate(
            warehouse, is_same_flagged=same_flags, is_guess_accepted=accept_guesses
        )
    if out is not None:
        if result.policy is None:
            raise UsageError(f"{out} was not written. {result.sentence}")
        with put_in_place(out) as draft:
            draft.write_text(result.toml(dt.date.today()), encoding="utf-8")
    if is_json:
        print_result(result)
    else:
        print_lines(result.lines())
