"""`loadrise tune`: where to draw the lines, given what electricians found."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from analytics.cli.output import print_lines, print_result
from analytics.cli.session import Session
from analytics.errors import UsageError

if TYPE_CHECKING:
    from analytics.tuning import Tuned
    from analytics.tuning.choice import Costs

STRATA = ("class", "load", "office")
"""Named again here so that help needs no statistics; a test holds them to `analytics.tuning`."""


@click.command(
    short_help="Weigh policies on what electricians found.",
    epilog="Example: loadrise --store fleet.duckdb tune --plan 10",
)
@click.option(
    "--missed-cost", type=click.FloatRange(min=0, min_open=True), help="Of one fault not flagged."
)
@click.option(
    "--visit-cost", type=click.FloatRange(min=0, min_open=True), help="Of one visit in vain."
)
@click.option(
    "--by",
    "strata",
    multiple=True,
    type=click.Choice(STRATA),
    help="Where the share examined differs: a stratum each; may be given several times.",
)
@click.option("--accept-guesses", is_flag=True, help="Count findings matched by a guess.")
@click.option(
    "--against",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="List the past verdicts that this policy would turn over, with their findings.",
)
@click.option(
    "--plan",
    "visits",
    type=click.IntRange(min=1),
    metavar="NUMBER",
    help="Draw so many devices that were not flagged, to be examined.",
)
@click.option(
    "--findings", is_flag=True, help="List the findings set aside and those that contradict."
)
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write the recommended policy to this TOML file, for loadrise adopt.",
)
@click.option("--json", "is_json", is_flag=True, help="Print the result as JSON.")
@click.pass_obj
def command(
    session: Session,
    missed_cost: float | None,
    visit_cost: float | None,
    strata: tuple[str, ...],
    accept_guesses: bool,
    against: Path | None,
    visits: int | None,
    findings: bool,
    out: Path | None,
    is_json: bool,
) -> None:
    """Weigh a grid of policies on the findings: what each flags, misses, wastes and costs.

    Sensitivity and false alarms are corrected for partial verification, since mostly the flagged
    are examined. Nothing is put in force: see loadrise adopt. Costs are in money of the firm's own.
    """
    from analytics import tuning
    from analytics.policy import read_policy
    from analytics.warehouse import open_store

    costs = _costs(missed_cost, visit_cost)
    if sum([against is not None, visits is not None, findings]) > 1:
        raise UsageError(
            "--against, --plan and --findings answer different questions.", "Give one."
        )
    with open_store(session.existing_store(), read_only=True) as warehouse:
        result: tuning.Flips | tuning.Plan | tuning.Matched | Tuned
        if against is not None:
            result = tuning.flips(warehouse, read_policy(against), is_guess_accepted=accept_guesses)
        elif visits is not None:
            result = tuning.plan(warehouse, visits, is_guess_accepted=accept_guesses)
        elif findings:
            result = tuning.matched(warehouse, is_guess_accepted=accept_guesses)
        else:
            result = tuning.tune(warehouse, costs, strata, is_guess_accepted=accept_guesses)
            _write(result, out)
    if is_json:
        print_result(result)
    else:
        print_lines(result.lines())


def _costs(missed: float | None, visit: float | None) -> Costs | None:
    from analytics.tuning.choice import Costs

    if (missed is None) != (visit is None):
        raise UsageError("Both costs are needed.", "Give --missed-cost and --visit-cost.")
    return None if missed is None or visit is None else Costs(missed, visit)


def _write(result: Tuned, out: Path | None) -> None:
    """Write the recommended policy; UsageError where none is recommended."""
    from analytics.export import put_in_place
    from analytics.policy import as_toml

    if out is None:
        return
    if result.recommended is None:
        raise UsageError(f"No policy is recommended, so {out} was not written. {result.sentence}")
    with put_in_place(out) as draft:
        draft.write_text(as_toml(result.recommended), encoding="utf-8")
