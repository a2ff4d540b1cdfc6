"""Subjects beside each other: what each found in a year over what others would have found."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Any

import numpy as np

from analytics.errors import NotEnoughDataError
from analytics.statistics.funnel import count_limits, dispersion
from analytics.statistics.shrinkage import BetaPrior, fit_prior
from analytics.trends.records import Standing, Trial, quarter_name
from analytics.trends.shares import (
    LEAST_EXPECTED,
    Found,
    ratio_ends,
    ratio_trial,
    spread,
    tails,
)

SPAN = 4
"""Quarters that subjects are set beside each other over [1]; chosen: a year, since a quarter of one
inspector holds two or three flagged readings."""
BETWEEN = 0.04
"""Prior variance of the logarithm of steady groups' shares [1]; chosen: 20 % about all."""
BETWEEN_LEVELS = 4.0
"""Groups that the prior counts for [1]; chosen."""
LIMIT_CHANCE = 0.001
"""Chance of a steady subject beyond either limit of a funnel [1]: Spiegelhalter 2005."""


def standings(
    rows: list[tuple[Any, ...]], clumping: dict[str, float]
) -> Iterator[tuple[Standing, Trial | None]]:
    """Yield each subject beside the others over a year, and what is tested of it.

    Takes rows of `trends.beside`. The variance between steady subjects is learned by the method of
    moments, its ends pulled in, the subject itself left out.
    """
    grouped: dict[tuple[int, str, str], list[tuple[str, Found]]] = {}
    for quarter, subject, measure, level, *found in rows:
        grouped.setdefault((quarter, subject, measure), []).append((level, Found(*found)))
    first = {number: _first_of_year(number, grouped) for number, _, _ in grouped}
    for (quarter, subject, measure), group in sorted(grouped.items()):
        for level, one in group:
            others = [other for name, other in group if name != level]
            who = (subject, level, quarter, measure)
            more, between = clumping[measure], float("nan")
            if one.expected >= LEAST_EXPECTED:
                between = _between(others)
            is_tested = level != "not noted" and one.expected >= LEAST_EXPECTED
            yield (
                _standing(who, one, more, between),
                _beside(who, one, more, between, first[quarter]) if is_tested else None,
            )


def _first_of_year(number: int, grouped: Iterable[tuple[int, str, str]]) -> int:
    """Return the first quarter with judged readings in the year up to a quarter."""
    return min(one for one, _, _ in grouped if number - SPAN < one <= number)


def shown(rows: list[Standing]) -> tuple[Standing, ...]:
    """Return the standings of a quarter with what only pictures show.

    Their shares drawn to that of all, and the ratios that steady subjects of their size stay
    between.
    """
    groups: dict[tuple[str, str], list[Standing]] = {}
    for one in rows:
        groups.setdefault((one.subject, one.measure), []).append(one)
    priors = {key: _prior(group) for key, group in groups.items()}
    return _with_limits([_drawn(one, priors[one.subject, one.measure]) for one in rows])


def _with_limits(rows: list[Standing]) -> tuple[Standing, ...]:
    known = [i for i, one in enumerate(rows) if one.variance >= 0]
    expected = np.array([rows[i].expected for i in known])
    low, high = count_limits(expected, np.array([rows[i].variance for i in known]), LIMIT_CHANCE)
    found = list(rows)
    for place, i in enumerate(known):
        ends = float(low[place] / expected[place]), float(high[place] / expected[place])
        found[i] = replace(rows[i], limit_low=ends[0], limit_high=ends[1])
    return tuple(found)


def _drawn(one: Standing, prior: BetaPrior | None) -> Standing:
    """Draw a share to that of all by how little is known of it."""
    if prior is None:
        return one
    low, high = (float(end) for end in prior.interval_of(one.hit_count, one.judged_count))
    middle = float(prior.mean_of(one.hit_count, one.judged_count))
    return replace(one, shrunken=middle, shrunken_low=low, shrunken_high=high)


def _prior(group: list[Standing]) -> BetaPrior | None:
    """Return the law of the groups' shares, no surer of the common share than all readings are."""
    try:
        found = fit_prior([one.hit_count for one in group], [one.judged_count for one in group])
    except NotEnoughDataError:
        return None
    less = min(1.0, sum(one.judged_count for one in group) / (found.hits + found.misses))
    return BetaPrior(less * found.hits, less * found.misses)


def _standing(
    who: tuple[str, str, int, str], one: Found, clumping: float, between: float
) -> Standing:
    subject, level, quarter, measure = who
    low, high = ratio_ends(one, clumping)
    ratio = one.hits / one.expected if one.expected > 0 else float("nan")
    return Standing(
        subject, level, quarter_name(quarter), measure, one.judged, one.hits, one.expected, ratio,
        low, high,
        variance=spread(one, clumping) + between if one.expected > 0 else float("nan"),
    )  # fmt: skip


def _beside(
    who: tuple[str, str, int, str], one: Found, clumping: float, between: float, since: int
) -> Trial:
    chance = 2 * min(tails(one, clumping, between))
    return ratio_trial(
        who,
        one,
        clumping,
        against="the others",
        chance=min(1.0, chance),
        since=since,
        family="shares",
    )


def _between(others: list[Found]) -> float:
    """Return the variance of the logarithm of the others' shares beyond chance [1]."""
    table = np.array([(one.hits, one.expected) for one in others if one.expected >= 1], dtype=float)
    if len(table) < 3:
        return BETWEEN
    z = 2 * (np.sqrt(table[:, 0] + 0.375) - np.sqrt(table[:, 1] + 0.375))
    found = dispersion(z, 1 / np.sqrt(table[:, 1])).variance
    count = len(table)
    return float((count * found + BETWEEN_LEVELS * BETWEEN) / (count + BETWEEN_LEVELS))
