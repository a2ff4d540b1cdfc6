"""Which policies are worth having: missed faults against wasted visits, and the choice."""

from __future__ import annotations

from typing import TYPE_CHECKING

from analytics.tuning.advice import kept
from analytics.tuning.telling import about
from dashboards import theme
from dashboards.figures import frontier
from dashboards.pages import tuning_pays
from dashboards.pages.parts import Table, figure, table
from dashboards.pages.tuning_words import (
    Block,
    TuningSection,
    class_word,
    ends,
    four,
    line,
    lines,
    money,
    per_quarter,
    point,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from analytics.statistics.verification import Rate
    from analytics.tuning.candidates import Candidate
    from dashboards.pages.parts import Figure
    from dashboards.tuning import TuningRecord

ASKS = (
    "How many faults a policy misses and how many visits it sends in vain, a quarter; each policy "
    "of the line flags all that those left of it flag, and more."
)
MARK_WORDS = {
    "in force": "square the one in force",
    "proposed": "star the one proposed",
    "surer": "triangle a surer one between",
    "least cost": "cross the one of least cost",
}
"""What the figure's marks say, by kind."""
NAMES = (
    "chance of a fault from", "heat, times the usual (1: any more)", "lift from, K",
    "load from, of rating",
)  # fmt: skip


def in_force(record: TuningRecord) -> Candidate:
    """Return the policy in force among the candidates."""
    return next(one for one in record.tuned.candidates if one.is_in_force)


def least_cost(record: TuningRecord) -> Candidate | None:
    """Return the candidate of least cost where it is another than the one in force."""
    found = [one for one in record.tuned.candidates if one.is_proposed and not one.is_in_force]
    return found[0] if found and not record.is_blind else None


def quieter(record: TuningRecord) -> Candidate | None:
    """Return the surer policy between the one in force and the one proposed, if there is one."""
    found = [one for one in record.tuned.candidates if one.is_quieter]
    return found[0] if found and least_cost(record) else None


def shares(record: TuningRecord) -> tuple[Rate, Rate]:
    """Return the shares of faults flagged and of flagged in vain, in force: one estimate all over.

    Where some stratum has nobody examined of the rest, what is known of them.
    """
    now, known = in_force(record), record.tuned.in_force
    if known.sensitivity.is_bound:
        return known.sensitivity, known.wasted_share
    return now.sensitivity, now.wasted_share


def name_of_best(record: TuningRecord) -> str:
    """Return what the proposed candidate is called; not to be adopted where it is not told."""
    return "proposed" if record.tuned.recommended else "proposed, not to adopt yet"


def section(record: TuningRecord) -> TuningSection:
    """Return the section; where none of the rest was examined it says why nothing is drawn."""
    heading = "Where the lines could lie"
    if record.is_blind:
        return TuningSection(
            "choice", heading, ASKS,
            "None of the devices that were not flagged was examined, so nobody knows what any "
            "policy misses, and no frontier can be drawn.",
        )  # fmt: skip
    beside = Block(
        "Missed against wasted",
        (_sentence(record),),
        _figure(record),
        (_beside(record),),
        True,
        True,
    )
    blocks: tuple[Block, ...] = (beside,)
    if record.tuned.costs:
        blocks = (*blocks, *tuning_pays.blocks(record))
    return TuningSection("choice", heading, ASKS, _answer(record), blocks)


def _answer(record: TuningRecord) -> str:
    now, best = in_force(record), least_cost(record)
    start = (
        f"The policy in force misses about {per_quarter(now.missed)} faults a quarter "
        f"({ends(now.missed_spread)}) and sends {per_quarter(now.wasted)} visits in vain "
        f"({ends(now.wasted_spread)})."
    )
    if best is None:
        asked = record.tuned.consequences
        rest = (
            _upper(kept(asked))
            if asked
            else "Which of the others is better is a question of the firm’s own costs."
        )
        return f"{start} {rest}"
    return (
        f"{start} Set beside it are {lines(best)}: {per_quarter(best.missed)} missed "
        f"({ends(best.missed_spread)}) and {per_quarter(best.wasted)} in vain "
        f"({ends(best.wasted_spread)}).{_between(record)}"
    )


def _upper(words: str) -> str:
    return words[0].upper() + words[1:]


def _between(record: TuningRecord) -> str:
    """Say what the surer policy between the two does."""
    one = quieter(record)
    if one is None:
        return ""
    return (
        f" Between them {lines(one)}: {per_quarter(one.missed)} missed and "
        f"{per_quarter(one.wasted)} in vain; called surer, since what it saves is the least in "
        "doubt."
    )


def _sentence(record: TuningRecord) -> str:
    costs = record.tuned.costs
    if costs is None:
        return "No costs were given, so no policy is of least cost."
    return (
        f"A missed fault is set at {money(costs.missed)}, a visit in vain at "
        f"{money(costs.visit)}, in money of the firm’s own: a visit pays from a chance of "
        f"{theme.share(costs.break_even)}."
    )


def _figure(record: TuningRecord) -> Figure:
    shown = record.tuned.candidates
    points = [
        frontier.FrontierPoint(
            one.wasted,
            one.missed,
            one.wasted_spread,
            one.missed_spread,
            f"From {lines(one)}: {per_quarter(one.missed)} missed, {per_quarter(one.wasted)} in "
            f"vain, {one.flags_per_100_panels:.1f} flags in 100 panels",
            _name(record, one),
            _kind(one),
        )
        for one in shown
    ]
    drawn = frontier.figure(points, _same_cost(record))
    return figure("frontier", _caption(record), drawn, _short_table(record))


def _name(record: TuningRecord, one: Candidate) -> str:
    marks = ["in force"] if one.is_in_force else []
    marks += ["least cost"] if one.is_least_cost else []
    marks += ["surer"] if one.is_quieter else []
    marks += ["proposed"] if one.is_proposed and not one.is_in_force else []
    return ", ".join(marks)


def _kind(one: Candidate) -> str:
    """Say which mark a candidate has; the one in force keeps its own whatever else it is."""
    kinds = {
        "in force": one.is_in_force,
        "proposed": one.is_proposed,
        "surer": one.is_quieter,
        "least cost": one.is_least_cost,
    }
    return next((kind for kind, is_so in kinds.items() if is_so), "")


def mark_of(record: TuningRecord, one: Candidate) -> str:
    """Say what a candidate is, and for which classes it has lines of their own."""
    names = ", ".join(dict.fromkeys(class_word(name) for name, _, _ in one.own))
    told = [_name(record, one), f"own lines: {names}" if names else ""]
    return ", ".join(word for word in told if word) or "–"


def _caption(record: TuningRecord) -> str:
    dotted = " Every point of the dotted line costs what the policy in force does; under it less."
    drawn = {_kind(one) for one in record.tuned.candidates}
    marks = ", ".join(words for kind, words in MARK_WORDS.items() if kind in drawn)
    return (
        f"Faults missed against visits in vain, a quarter: each dot a policy, {marks}; thin lines "
        "hold 95 % of redrawn fleets and move "
        f"together.{dotted if record.tuned.costs else ''}"
    )


def _same_cost(record: TuningRecord) -> tuple[tuple[float, float], ...]:
    """Return the ends of the line of the policy in force's cost, over the width of the figure."""
    costs, now = record.tuned.costs, in_force(record)
    if costs is None:
        return ()
    slope = costs.visit / costs.missed
    far = max(one.wasted_spread[1] for one in record.tuned.candidates)
    return ((0.0, now.missed + slope * now.wasted), (far, now.missed - slope * (far - now.wasted)))


def _beside(record: TuningRecord) -> Table:
    """Set the policy in force beside the one proposed, a surer one between, line by line."""
    columns = [
        one for one in (in_force(record), quieter(record), least_cost(record)) if one is not None
    ]
    heads = [_name(record, one) for one in columns]
    rows = [
        (NAMES[0], *(f"{100 * four(one)[0]:g}{theme.PERCENT}" for one in columns)),
        (NAMES[1], *(f"{four(one)[1]:g}" for one in columns)),
        (NAMES[2], *(f"{four(one)[2]:g}" for one in columns)),
        (NAMES[3], *(load_of(one) for one in columns)),
        *_own_rows(columns),
        ("visits a quarter, one a flag", *(f"{one.flags:,.0f}" for one in columns)),
        ("flags in 100 panels", *(f"{one.flags_per_100_panels:.1f}" for one in columns)),
        ("faults flagged", *(point(one.sensitivity) for one in columns)),
        ("  95 % interval", *(_ends(one) for one in columns)),
        ("faults missed a quarter", *(per_quarter(one.missed) for one in columns)),
        ("  95 % interval", *(ends(one.missed_spread) for one in columns)),
        ("visits in vain a quarter", *(per_quarter(one.wasted) for one in columns)),
        ("  95 % interval", *(ends(one.wasted_spread) for one in columns)),
    ]
    if record.tuned.costs:
        rows.append(("cost a quarter", *(cost_of(one) for one in columns)))
    if record.tuned.difference is not None and len(columns) > 1:
        saved = money(record.tuned.difference.saved)
        blanks = ["–"] * (len(columns) - 1)
        rows.append(("saving a quarter, after what picking flatters", *blanks, saved))
    return table("The lines and what they do", ("line", *heads), rows, kind="real")


def _own_rows(columns: Sequence[Candidate]) -> list[tuple[str, ...]]:
    """Return a row for every line that a class has of its own in one of the columns."""
    keys = dict.fromkeys((name, key) for one in columns for name, key, _ in one.own)
    told = [{(name, key): value for name, key, value in one.own} for one in columns]
    return [
        (
            f"  {class_word(name)}, of its own",
            *(line(key, own[name, key]) if (name, key) in own else "as all" for own in told),
        )
        for name, key in keys
    ]


def _ends(one: Candidate) -> str:
    return theme.interval(one.sensitivity.low, one.sensitivity.high)


def load_of(one: Candidate) -> str:
    """Write the load from which it flags."""
    return f"{100 * one.load_share:g}{theme.PERCENT}" if one.load_share else "any"


def cost_of(one: Candidate) -> str:
    """Write what it costs a quarter."""
    return "–" if one.cost is None else about(one.cost, 3)


def _short_table(record: TuningRecord) -> Table:
    """Return the points of the figure."""
    body = [
        (
            _name(record, one) or "–",
            f"{100 * one.probability:g}{theme.PERCENT}",
            per_quarter(one.missed),
            per_quarter(one.wasted),
            cost_of(one),
        )
        for one in record.tuned.candidates
    ]
    headers = ("mark", "chance from", "missed", "in vain", "cost")
    return table("Policies, a quarter", headers, body)
