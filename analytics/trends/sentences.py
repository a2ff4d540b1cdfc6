"""A signal in one plain sentence: who, what, how much with its interval, against what, how sure."""

from __future__ import annotations

from analytics.columns import CLASS_WORDS
from analytics.trends.records import PAST, Trial, quarter_index

HABIT_WORDS = {
    "ambient": "noted the same air temperature in {share} inspections of {quarter}, as if it had "
    "not been read (a thermometer that is stuck looks the same)",
    "clamped": "clamped {share} warm devices in {quarter}",
    "minutes": "noted the minutes under load in {share} inspections of {quarter}",
    "settled": "read sooner than 15 minutes after the loads came on in {share} inspections of "
    "{quarter}",
}

UNKNOWN = "its cause is not known from here: hear the inspector first"
"""What is sure of a habit is the difference, not what it comes from nor who is to blame."""

HABIT_BRIEFS = {
    "ambient": "noted the same air temperature in {share} inspections",
    "clamped": "clamped {share} warm devices",
    "minutes": "noted the minutes in {share} inspections",
    "settled": "read too early in {share} inspections",
}


def sureness(chance: float) -> str:
    """Return how sure a signal is, in words, from the share of false ones among such signals [1].

    >>> sureness(0.03), sureness(1e-5)
    ('likely', 'almost certain')
    """
    if chance < 0.001:
        return "almost certain"
    return "very likely" if chance < 0.01 else "likely"


def in_words(number: int) -> str:
    """Write a count up to nine as a word, as in a sentence.

    >>> in_words(8), in_words(12)
    ('eight', '12')
    """
    words = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
    return words[number] if number < len(words) else f"{number:,}"


def over(since: str, quarter: str) -> str:
    """Say which quarters count together; a year only where it is one.

    >>> over("2025Q4", "2026Q3"), over("2026Q1", "2026Q3"), over("2026Q3", "2026Q3")
    ('over the year to 2026Q3', 'over 2026Q1 to 2026Q3 together', 'in 2026Q3')
    """
    if since == quarter:
        return f"in {quarter}"
    if quarter_index(quarter) - quarter_index(since) == 3:
        return f"over the year to {quarter}"
    return f"over {since} to {quarter} together"


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
    end = f"{sureness(chance)}: {odds(chance)}"
    if trial.measure in HABIT_WORDS:
        end = f"the difference is {end}; {UNKNOWN}"
    return f"{head} ({trial.count:,} {trial.counted}; {end})."


def brief(trial: Trial, unit: str) -> str:
    """Return a signal in few words, for a headline: who, how much, and its 95 % interval."""
    who = _who(trial)[0].lower() + _who(trial)[1:]
    if trial.measure == "deviation":
        factor, sign = (1.8, "°F") if unit == "degF" else (1.0, "K")
        size, low, high = (_number(x, 1) for x in _outward(trial, factor))
        warm = "warmer" if trial.size > 0 else "cooler"
        than = "than it used to" if trial.against == PAST else "than the others"
        return f"{who} reads {size} {sign} {warm} {than} ({low} to {high})"
    if trial.measure == "heat":
        hot = "hotter" if trial.size > 0 else "cooler"
        size, low, high = (_number(x, 0) for x in _outward(trial, 100.0))
        return f"{who} runs {size} % {hot} for its current ({low} to {high} %)"
    if trial.unit == "points":
        return _moved_brief(trial)
    if trial.measure in ("flagged", "overload"):
        what = "flagged" if trial.measure == "flagged" else "over the current limit"
        like = "its past would bring" if trial.against == PAST else "the others on like cases"
        when = over(trial.since, trial.quarter)
        span = f"{trial.size:.2f} times as many {what} as {like}"
        return f"{who} has {span} {when} ({trial.low:.2f} to {trial.high:.2f})"
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


def _who(trial: Trial) -> str:
    if trial.subject == "firm":
        return "The firm"
    name = trial.level_name
    if trial.subject == "class":
        name = CLASS_WORDS.get(name, name)
    return f"{trial.subject.capitalize()} {name}"


def _deviation(trial: Trial, unit: str) -> str:
    factor, sign = (1.8, "°F") if unit == "degF" else (1.0, "K")
    size, low, high = (_number(x, 1) for x in _outward(trial, factor))
    warm = "warmer" if trial.size > 0 else "cooler"
    span = f"{size} {sign} {warm} (95 % interval {low} to {high})"
    if trial.against == PAST:
        since = f", off since {trial.since}" if trial.since != trial.quarter else ""
        text = f"{_who(trial)} reads {span} in {trial.quarter} than it used to{since}"
    else:
        plural = f"{trial.subject}s"
        when = over(trial.since, trial.quarter)
        text = f"{_who(trial)} reads {span} than the other {plural} {when}"
    return f"{text}{'; ' + trial.detail if trial.detail else ''}"


def _outward(trial: Trial, factor: float) -> tuple[float, float, float]:
    """Return the size and its ends as the words have them: those away from nothing are positive."""
    if trial.size > 0:
        return factor * trial.size, factor * trial.low, factor * trial.high
    return -factor * trial.size, -factor * trial.high, -factor * trial.low


def _number(value: float, digits: int) -> str:
    text = f"{value:.{digits}f}"
    return text.lstrip("-") if not text.strip("-0.") else text.replace("-", "−")


def _heat(trial: Trial, unit: str) -> str:
    size, low, high = (_number(x, 0) for x in _outward(trial, 100.0))
    hot = "hotter" if trial.size > 0 else "cooler"
    span = f"{size} % {hot} for its current (95 % interval {low} to {high} %)"
    if trial.against == PAST:
        return f"{_who(trial)} runs {span} in {trial.quarter} than it used to"
    when = over(trial.since, trial.quarter)
    return (
        f"{_who(trial)} runs {span} than the other makes {when}; a design that runs hotter and a "
        "fault of the make look the same in a scan"
    )


def _ratio(trial: Trial, unit: str) -> str:
    if trial.unit == "points":
        return _moved(trial, unit)
    what = "flagged readings" if trial.measure == "flagged" else "readings over the current limit"
    found, expected, left_out = trial.detail.split()
    span = f"{trial.size:.2f} times as many (95 % interval {trial.low:.2f} to {trial.high:.2f})"
    is_past = trial.against == PAST
    when = over(trial.since, trial.quarter)
    if int(left_out):
        like = "earlier" if is_past else "of others"
        when += f" ({int(left_out):,} more, without like readings {like}, are left out)"
    rest = "from its past, like for like" if is_past else "from the others on like cases"
    return (
        f"{_who(trial)} has {int(found):,} {what} {when}, where {expected} were to be expected "
        f"{rest}: {span}"
    )


def _habit(trial: Trial, unit: str) -> str:
    own, others = trial.detail.split(", others ")
    text = HABIT_WORDS[trial.measure].format(share=own, quarter=trial.quarter)
    size, low, high = (
        f"{100 * x:+.0f}".replace("-", "−") for x in (trial.size, trial.low, trial.high)
    )
    return (
        f"{_who(trial)} {text}, colleagues in {others}: {size} percentage points "
        f"(95 % interval {low} to {high})"
    )
