"""`loadrise tune`: where to draw the lines, given what electricians found."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from analytics.cli.amounts import Amount
from analytics.cli.output import print_lines, print_result, told
from analytics.cli.policyfile import (
    headed,
    out_options,
    refuse_taken,
    today_words,
    write_policy,
)
from analytics.cli.session import Session
from analytics.errors import NotEnoughDataError, UsageError

if TYPE_CHECKING:
    from analytics.notices import Notice
    from analytics.tuning import Flips, Matched, Plan, Tuned
    from analytics.tuning.choice import Costs
    from analytics.warehouse import Warehouse
    from dashboards.tuning import TuningRecord

STRATA = ("class", "load", "office")
"""Named again here so that help needs no statistics; a test holds them to `analytics.tuning`."""


@click.command(
    short_help="Weigh policies on what electricians found.",
    epilog="Example: loadrise --store fleet.duckdb tune --plan 10",
)
@click.option("--missed-cost", type=Amount(), help="Of one fault not flagged.")
@click.option("--visit-cost", type=Amount(), help="Of one visit in vain.")
@click.option(
    "--most-visits",
    type=Amount(),
    metavar="NUMBER",
    help="Visits a quarter that can be sent at most; policies that need more are left out.",
)
@click.option(
    "--by",
    "strata",
    multiple=True,
    type=click.Choice(STRATA),
    help="Where the share examined differs: a stratum each; may be given several times.",
)
@click.option(
    "--shared",
    is_flag=True,
    help="Propose one set of lines for all classes of device, though some would gain by their own.",
)
@click.option(
    "--surer",
    is_flag=True,
    help="With --out: write the surer policy on the way to the one recommended, in its stead.",
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
@out_options("Write the recommended policy to this new TOML file, for loadrise adopt.")
@click.option(
    "--page",
    "folder",
    type=click.Path(path_type=Path, file_okay=False),
    metavar="DIR",
    help="Write all of it as one page, tuning.html, into this folder, and beside it the devices to "
    "examine as examine.html and examine.csv; --plan and --against may be given with it.",
)
@click.option("--json", "is_json", is_flag=True, help="Print the result as JSON.")
@click.pass_obj
def command(
    session: Session,
    missed_cost: float | None,
    visit_cost: float | None,
    most_visits: float | None,
    strata: tuple[str, ...],
    shared: bool,
    surer: bool,
    accept_guesses: bool,
    against: Path | None,
    visits: int | None,
    findings: bool,
    out: Path | None,
    overwrite: bool,
    folder: Path | None,
    is_json: bool,
) -> None:
    """Weigh a grid of policies on the findings: what each flags, misses, wastes and costs.

    Sensitivity and false alarms are corrected for partial verification, since mostly the flagged
    are examined. Nothing is put in force: see loadrise adopt. Costs are in money of the firm's own.
    """
    from analytics.warehouse import open_store

    costs = _costs(missed_cost, visit_cost)
    asked = _Asked(costs, strata, accept_guesses, against, visits, findings, most_visits, shared)
    if folder is None:
        asked.check(is_written=out is not None)
    _check_out(out, is_surer=surer, is_overwritten=overwrite)
    with open_store(session.existing_store(), read_only=True) as warehouse:
        pending = _pending(warehouse, out)
        result: TuningRecord | Flips | Plan | Matched | Tuned
        if folder is not None:
            result, lines = _page(warehouse, asked, folder, pending)
        else:
            result = answer = asked.answer(warehouse)
            lines = answer.lines()
    written, trouble = _written(getattr(result, "tuned", result), out, is_surer=surer)
    if is_json:
        print_result(result, unscreened_policy=pending)
    else:
        print_lines([*told(pending), *lines, *written])
    if trouble:
        raise NotEnoughDataError(trouble)


@dataclass(frozen=True)
class _Asked:
    """What was asked for, as given."""

    costs: Costs | None
    strata: tuple[str, ...]
    accept_guesses: bool
    against: Path | None
    visits: int | None
    findings: bool
    most_visits: float | None
    is_shared: bool

    def check(self, *, is_written: bool) -> None:
        """Raise UsageError for several questions at once, and for an option that would be idle.

        `is_written` tells whether the recommended policy is wanted as a file.
        """
        questions = {
            "--against": self.against is not None,
            "--plan": self.visits is not None,
            "--findings": self.findings,
        }
        weighing = {
            "--missed-cost": self.costs is not None,
            "--most-visits": self.most_visits is not None,
            "--by": bool(self.strata),
            "--shared": self.is_shared,
            "--out": is_written,
        }
        asked, idle = (
            [name for name, is_given in one.items() if is_given] for one in (questions, weighing)
        )
        if len(asked) > 1:
            raise UsageError(
                "--against, --plan and --findings answer different questions.",
                "Give one, or --page DIR for all.",
            )
        if asked and idle:
            raise UsageError(
                f"{idle[0]} does nothing beside {asked[0]}.", "Leave one out, or give --page DIR."
            )

    def answer(self, warehouse: Warehouse) -> Flips | Plan | Matched | Tuned:
        """Answer the one question."""
        from analytics import tuning
        from analytics.policy import read_policy

        guess = self.accept_guesses
        if self.against is not None:
            return tuning.flips(warehouse, read_policy(self.against), is_guess_accepted=guess)
        if self.visits is not None:
            return tuning.plan(warehouse, self.visits, is_guess_accepted=guess)
        if self.findings:
            return tuning.matched(warehouse, is_guess_accepted=guess)
        return tuning.tune(
            warehouse,
            self.costs,
            self.strata,
            most_visits=self.most_visits,
            is_guess_accepted=guess,
            is_shared=self.is_shared,
        )


def _page(
    warehouse: Warehouse, asked: _Asked, folder: Path, pending: Notice | None
) -> tuple[TuningRecord, list[str]]:
    """Write the page and the list of devices beside it; return the record and its headline."""
    from analytics.policy import read_policy
    from dashboards.pages.tuning import headline_lines
    from dashboards.tuning import collect
    from dashboards.tuning_files import write_tuning

    record = collect(
        warehouse,
        asked.costs,
        asked.strata,
        against=read_policy(asked.against) if asked.against else None,
        visits=asked.visits,
        most_visits=asked.most_visits,
        is_guess_accepted=asked.accept_guesses,
        pending=pending.sentence if pending else "",
        is_shared=asked.is_shared,
    )
    made = write_tuning(warehouse, record, folder)
    files = [f"Page: {made.page}", f"Devices to examine: {made.sheet}, {made.table}"]
    return record, [*headline_lines(record), "", *files]


def _costs(missed: float | None, visit: float | None) -> Costs | None:
    from analytics.tuning.choice import Costs

    if (missed is None) != (visit is None):
        raise UsageError("Both costs are needed.", "Give --missed-cost and --visit-cost.")
    return None if missed is None or visit is None else Costs(missed, visit)


def _check_out(out: Path | None, *, is_surer: bool, is_overwritten: bool) -> None:
    """Raise UsageError where nothing would be written, or something written over."""
    if is_surer and out is None:
        raise UsageError("--surer does nothing without --out.", "Give --out FILE.")
    refuse_taken(out, is_overwritten=is_overwritten)


def _pending(warehouse: Warehouse, out: Path | None) -> Notice | None:
    """Return what is to be told of a policy in force that is not screened with yet.

    Raises UsageError where one written now would undo it.
    """
    from analytics import history

    pending = history.unscreened(warehouse, dt.date.today())
    if pending is not None and out is not None:
        now, old = pending.data["in_force"], pending.data["screened"]
        raise UsageError(
            f"The policy {now} is in force and has not been screened with yet: a policy written "
            f"now would be built on {old} and undo what {now} changed.",
            "Run loadrise screen first, then tune --out again.",
        )
    return pending


def _written(result: object, out: Path | None, *, is_surer: bool) -> tuple[list[str], str]:
    """Write the recommended policy or the surer one; return what was written, or why nothing."""
    from analytics import __version__, tuning
    from analytics.policy import as_toml

    if out is None or not isinstance(result, tuning.Tuned):
        return [], ""
    policy = result.surer if is_surer else result.recommended
    if policy is None:
        which = "No surer policy lies on the way" if is_surer else "No policy is recommended"
        return [], f"{which}, so {out} was not written."
    span = result.span
    origin = today_words(dt.date.today(), __version__, span.policy_version, span.baseline_version)
    told = ["The surer lines are written here, not those recommended."] if is_surer else []
    evidence = [*told, result.sentence, *tuning.evidence(result)]
    text = headed(origin, evidence, as_toml(policy))
    return ["", write_policy(out, text, policy.version)], ""
