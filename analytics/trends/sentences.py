"""A signal in one plain sentence: who, what, how much with its interval, against what, how sure."""

from __future__ import annotations

from analytics.columns import CLASS_WORDS
from analytics.trends.records import Trial

HABIT_WORDS = {
    "ambient": "noted the same air temperature in {share} inspections, as if it had not been read",
    "clamped": "clamped {share} warm devices",
    "minutes": "noted the minutes under load in {share} inspections",
    "settled": "read sooner than 15 minutes after the loads came on in {share} inspections",
}


HABIT_BRIEFS = {
    "ambient": "noted the same air temperature in {share} inspections",
    "clamped": "clamped {share} warm devices",
    "minutes": "noted the minutes in {share} inspections",
    "settled": "read too early in {share} inspections",
}


def sureness(chance: float) -> str:
    """Return how sure a signal is, in words, from the share of false ones among such signals [1].

    >>> sureness(0.03), sureness(1e-5)
    ('likely', 'hardly chance')
    """
    if chance < 0.001:
        return "hardly chance"
    return "very likely" if chance < 0.01 else "likely"


def odds(chance: float) -> str:
    """Return a share of false signals in words.

    >>> odds(0.034), odds(1e-9)
    ('about 1 in 29 such signals is false', 'fewer than 1 in 1,000 such signals is false')
    """
    if chance < 0.001:
        return "fewer than 1 in 1,000 such signals is false"
    return f"about 1 in {max(round(1 / chance), 2):,} such signals is false"


def sentence(trial: Trial, chance: float, unit: str) -> str:
    """Return the sentence of a signal; `unit` is degF or degC and holds for differences of rise."""
    head = {
        "deviation": _deviation,
        "heat": _heat,
        "flagged": _ratio,
        "overload": _ratio,
    }.get(trial.measure, _habit)(trial, unit)
    return f"{head} ({trial.count:,} {trial.counted}; {sureness(chance)}: {odds(chance)})."


def brief(trial: Trial, unit: str) -> str:
    """Return a signal in few words, for a headline: who, how much, and its 95 % interval."""
    size, low, high = _ordered(trial)
    who = _who(trial)[0].lower() + _who(trial)[1:]
    if trial.measure == "deviation":
        factor, sign = (1.8, "°F") if unit == "degF" else (1.0, "K")
        size, low, high = (factor * abs(x) for x in (size, low, high))
        warm = "warmer" if trial.size > 0 else "cooler"
        than = "than it used to" if trial.against == "its own past" else "than the others"
        return f"{who} reads {size:.1f} {sign} {warm} {than} ({low:.1f} to {high:.1f})"
    if trial.measure == "heat":
        hot = "hotter" if trial.size > 0 else "cooler"
        size, low, high = (100 * abs(x) for x in (size, low, high))
        return f"{who} runs {size:.0f} % {hot} for its current ({low:.0f} to {high:.0f} %)"
    if trial.unit == "points":
        return _moved_brief(trial)
    if trial.measure in ("flagged", "overload"):
        what = "flagged" if trial.measure == "flagged" else "over the current limit"
        span = f"{trial.size:.2f} times as many {what} as expected"
        return f"{who} has {span} {_over(trial)} ({trial.low:.2f} to {trial.high:.2f})"
    own = trial.detail.split(", others ")[0]
    return f"{who} {HABIT_BRIEFS[trial.measure].format(share=own)}"


def _moved_brief(trial: Trial) -> str:
    what = "flagged" if trial.measure == "flagged" else "over the current limit"
    return f"the firm has {_points(trial)} {what} {_against(trial)} ({_point_ends(trial)})"


def _moved(trial: Trial, unit: str) -> str:
    what = "flagged" if trial.measure == "flagged" else "over the current limit"
    return (
        f"The firm has {_points(trial)} {what} {_against(trial)}, like for like "
        f"(95 % interval {_point_ends(trial)} points)"
    )


def _points(trial: Trial) -> str:
    return f"{100 * abs(trial.size):.2f} points {'more' if trial.size > 0 else 'fewer'}"


def _point_ends(trial: Trial) -> str:
    ends = (f"{100 * x:+.2f}".replace("-", "−") for x in (trial.low, trial.high))
    return " to ".join(ends)


def _against(trial: Trial) -> str:
    then = {"the last quarter": "in the quarter before"}.get(trial.against, f"in {trial.against}")
    is_slope = trial.against.startswith("a quarter")
    return f"{trial.against}" if is_slope else f"in {trial.quarter} than {then}"


def _over(trial: Trial) -> str:
    """Say which quarters a ratio holds for, so that it is not read as that of the last alone."""
    if trial.since == trial.quarter:
        return f"in {trial.quarter}"
    if trial.against == "its own past":
        return f"over {trial.since} to {trial.quarter} together"
    return f"over the year to {trial.quarter}"


def _who(trial: Trial) -> str:
    if trial.subject == "firm":
        return "The firm"
    name = trial.level_name
    if trial.subject == "class":
        name = CLASS_WORDS.get(name, name)
    return f"{trial.subject.capitalize()} {name}"


def _deviation(trial: Trial, unit: str) -> str:
    factor, sign = (1.8, "°F") if unit == "degF" else (1.0, "K")
    size, low, high = (factor * abs(x) for x in _ordered(trial))
    warm = "warmer" if trial.size > 0 else "cooler"
    span = f"{size:.1f} {sign} {warm} (95 % interval {low:.1f} to {high:.1f})"
    if trial.against == "its own past":
        since = f" since {trial.since}" if trial.since != trial.quarter else ""
        text = f"{_who(trial)} reads {span} in {trial.quarter} than it used to{since}"
    else:
        plural = f"{trial.subject}s"
        text = (
            f"{_who(trial)} reads {span} than the other {plural} over the year to {trial.quarter}"
        )
    return f"{text}{'; ' + trial.detail if trial.detail else ''}"


def _ordered(trial: Trial) -> tuple[float, float, float]:
    ends = (trial.low, trial.high) if trial.size > 0 else (trial.high, trial.low)
    return trial.size, *ends


def _heat(trial: Trial, unit: str) -> str:
    size, low, high = (100 * abs(x) for x in _ordered(trial))
    hot = "hotter" if trial.size > 0 else "cooler"
    span = f"{size:.0f} % {hot} for its current (95 % interval {low:.0f} to {high:.0f} %)"
    if trial.against == "its own past":
        return f"{_who(trial)} runs {span} in {trial.quarter} than it used to"
    return f"{_who(trial)} runs {span} than the other makes, over the year to {trial.quarter}"


def _ratio(trial: Trial, unit: str) -> str:
    if trial.unit == "points":
        return _moved(trial, unit)
    what = "flagged readings" if trial.measure == "flagged" else "readings over the current limit"
    found, expected = trial.detail.split()
    span = f"{trial.size:.2f} times as many (95 % interval {trial.low:.2f} to {trial.high:.2f})"
    when = trial.quarter if trial.since == trial.quarter else f"{trial.since} to {trial.quarter}"
    past = trial.against == "its own past"
    rest = "from its past, like for like" if past else "from others on the same cases"
    return f"{_who(trial)} has {int(found):,} {what} in {when}, {expected} expected {rest}: {span}"


def _habit(trial: Trial, unit: str) -> str:
    own, others = trial.detail.split(", others ")
    text = HABIT_WORDS[trial.measure].format(share=own)
    size, low, high = (
        f"{100 * x:+.0f}".replace("-", "−") for x in (trial.size, trial.low, trial.high)
    )
    return (
        f"{_who(trial)} {text} in {trial.quarter}, colleagues in {others}: {size} points "
        f"(95 % interval {low} to {high})"
    )
