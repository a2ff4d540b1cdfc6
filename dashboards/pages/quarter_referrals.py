"""What electricians found of what was flagged: confirmed shares, and how long it took."""

from __future__ import annotations

from dashboards import theme
from dashboards.figures import trend
from dashboards.pages.parts import Figure, Table, count, figure, table
from dashboards.pages.quarter_changes import MOST_QUARTERS
from dashboards.quarter_records import QuarterRecord, Referral


def sentence(record: QuarterRecord) -> str:
    """Say what became of the quarter's referrals, or of the latest that were examined."""
    if not any(one.examined_count for one in record.referrals):
        return (
            "No finding of an electrician is on record for what was flagged. Read them in, and "
            "this page tells how many flags were confirmed."
        )
    now = next((one for one in record.referrals if one.quarter == record.quarter), None)
    if now is None:
        return f"Nothing was flagged in {record.quarter}, so nothing was referred."
    if not now.examined_count:
        last = next(one for one in reversed(record.referrals) if one.examined_count)
        return (
            f"None of the {count(now.flagged_count, 'flagged reading')} of {record.quarter} was "
            f"examined by a licensed electrician yet{_others(now)}. Of {last.quarter}: "
            f"{_outcome(last)}. {ONLY_LICENSED}"
        )
    waiting = now.flagged_count - now.examined_count - now.other_count
    rest = f" {count(waiting, 'device')} {_wait(waiting)} to be examined." if waiting else ""
    return (
        f"Of {count(now.flagged_count, 'flagged reading')}, {_outcome(now)}{_others(now)}.{rest} "
        f"{ONLY_LICENSED}"
    )


ONLY_LICENSED = (
    "Only what a licensed electrician examined is counted and drawn, here as on the tuning page; "
    "that one counts all quarters together, and devices that were not flagged too."
)


def _wait(number: int) -> str:
    return "is still" if number == 1 else "are still"


def _others(one: Referral) -> str:
    more = "more " if one.examined_count else ""
    return f"; {one.other_count:,} {more}by others, who do not count" if one.other_count else ""


def _outcome(one: Referral) -> str:
    confirmed, days = one.confirmed, one.median_days
    speed = ""
    if days is not None and one.slow_days is not None:
        speed = (
            f"; of those {one.examined_count:,} half were examined within {days:.0f} days of the "
            f"scan, nine in ten within {one.slow_days:.0f}"
        )
    return (
        f"{one.examined_count:,} examined by licensed electricians so far, {confirmed.count:,} of "
        f"them with a loose connection or a device fault, {theme.share(confirmed.value)} "
        f"({theme.interval(confirmed.low, confirmed.high)}){speed}"
    )


def figures(record: QuarterRecord) -> list[Figure]:
    """Return the confirmed share and the days to the electrician's look, over the quarters."""
    drawn = record.referrals[-MOST_QUARTERS:]
    if not any(one.examined_count for one in drawn):
        return []
    confirmed = figure(
        "referral-confirmed",
        "Share of examined flags that licensed electricians confirmed, by the quarter of the scan, "
        "with its 95 % interval; what is still to be examined does not count.",
        trend.figure([_confirmed(one) for one in drawn], "suspect_connection"),
        _table(record),
    )
    days = figure(
        "referral-days",
        "Days from the scan to the electrician’s look: the dot is the middle case, the line "
        "reaches up to nine in ten; late quarters still lack their slow ones.",
        trend.figure([_days(one) for one in drawn], "normal", " d"),
        _days_table(record),
    )
    return [confirmed, days]


def _confirmed(one: Referral) -> trend.TrendPoint:
    share = one.confirmed
    if share.value is None or share.low is None or share.high is None:
        return trend.TrendPoint(one.quarter, None, None, None, f"{one.quarter}: none examined")
    words = (
        f"{one.quarter}: {share.count:,} of {share.total:,} examined, {theme.share(share.value)} "
        f"({theme.interval(share.low, share.high)})"
    )
    return trend.TrendPoint(
        one.quarter, 100 * share.value, 100 * share.low, 100 * share.high, words
    )


def _days(one: Referral) -> trend.TrendPoint:
    if one.median_days is None or one.slow_days is None:
        return trend.TrendPoint(one.quarter, None, None, None, f"{one.quarter}: none examined")
    words = (
        f"{one.quarter}: half within {one.median_days:.0f} days, nine in ten within "
        f"{one.slow_days:.0f}"
    )
    return trend.TrendPoint(one.quarter, one.median_days, one.median_days, one.slow_days, words)


def _table(record: QuarterRecord) -> Table:
    rows = [
        (
            one.quarter,
            f"{one.flagged_count:,}",
            f"{one.examined_count:,}",
            f"{one.loose_count:,}",
            f"{one.device_count:,}",
            f"{one.overload_count:,}",
            f"{one.nothing_count:,}",
            f"{one.other_count:,}",
            theme.share(one.confirmed.value),
            theme.interval(one.confirmed.low, one.confirmed.high),
        )
        for one in record.referrals
    ]
    headers = (
        "quarter", "flagged", "examined", "loose connection", "device fault", "overload",
        "nothing found", "by others", "confirmed", "95 % interval",
    )  # fmt: skip
    return table("What licensed electricians found of the flagged readings", headers, rows)


def _days_table(record: QuarterRecord) -> Table:
    rows = [
        (
            one.quarter,
            f"{one.examined_count:,}",
            "–" if one.median_days is None else f"{one.median_days:.0f}",
            "–" if one.slow_days is None else f"{one.slow_days:.0f}",
        )
        for one in record.referrals
    ]
    headers = ("quarter", "examined", "half within, days", "nine in ten, days")
    return table("Days from the scan to the electrician’s look", headers, rows)


def office_table(record: QuarterRecord) -> Table | None:
    """Return the referrals of the quarter by office; None where there is one office or none."""
    held = record.trends.referrals if record.trends else ()
    own = [one for one in held if one.quarter == record.quarter]
    if len(own) < 2:
        return None
    rows = [
        (
            one.office,
            f"{one.flagged_count:,}",
            f"{one.examined_count:,}",
            f"{one.loose_count + one.device_count:,}",
            f"{one.nothing_count:,}",
            f"{one.other_count:,}",
            "–" if one.median_days is None else f"{one.median_days:.0f}",
        )
        for one in own
    ]
    headers = (
        "office", "flagged", "examined", "confirmed", "nothing found", "by others",
        "half within, days",
    )  # fmt: skip
    return table("Referrals of the quarter by office", headers, rows)
