"""The decision: the options to tick, and what to type for each, in one order."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dashboards import theme
from dashboards.pages.tuning_choice import in_force, least_cost, quieter
from dashboards.pages.tuning_words import TuningSection, lines

if TYPE_CHECKING:
    from dashboards.tuning import TuningRecord

ASKS = "What to type, and a place for what was decided."
ADOPT = 'loadrise adopt {name}.toml --from DAY --remark "WHY"'
RECALIBRATE = (
    "loadrise recalibrate --same-flags --out recalibrated.toml",
    ADOPT.format(name="recalibrated"),
    "loadrise screen",
)


def section(record: TuningRecord) -> TuningSection:
    """Return the section with options, commands and the lines to sign on."""
    told, commands = _commands(record)
    return TuningSection(
        "decision", "The decision", ASKS, told, (), False, commands, _options(record)
    )


def _options(record: TuningRecord) -> tuple[str, ...]:
    """Return what can be ticked: the policies that may be adopted, and to keep that in force."""
    kept = f"Keep the policy in force: {lines(in_force(record))}."
    if record.is_given and record.proposed:
        return (f"The policy given: {lines(record.proposed)}.", kept)
    best, surer = least_cost(record), quieter(record)
    if record.tuned.recommended is None or best is None:
        return ()
    found = [f"Proposed: {lines(best)}."]
    if surer is not None and record.tuned.surer is not None:
        found.append(f"Surer: {lines(surer)}; add --surer to the first command.")
    return (*found, kept)


def _commands(record: TuningRecord) -> tuple[str, tuple[str, ...]]:
    """Return what is to be decided in a sentence, and the commands that carry it out."""
    again = f"loadrise tune{record.options} --page DIR"
    mend = RECALIBRATE if record.recalibrated.policy is not None else ()
    then = " Then the stated chances are mended, with the same devices flagged." if mend else ""
    if record.is_given and record.proposed:
        name = theme.printable(record.proposed.name)
        told = f"To put the policy that was given in force, from a day and with a reason.{then}"
        return told, (ADOPT.format(name=name), "loadrise screen", *mend, again)
    if record.tuned.recommended is not None:
        told = (
            "The lines first: written, weighed against past verdicts, adopted from a day with a "
            f"reason, and screened with.{then}"
        )
        return told, (
            f"loadrise tune{record.options} --out proposed.toml",
            "loadrise tune --against proposed.toml",
            ADOPT.format(name="proposed"),
            "loadrise screen",
            *mend,
            again,
        )
    told = "No other lines are proposed for adoption: the policy in force stays."
    plan = f"loadrise tune --plan {record.plan.asked}"
    return (f"{told}{then}" if mend else f"{told[:-1]}, and more findings tell more."), (
        *mend,
        plan,
        again,
    )
