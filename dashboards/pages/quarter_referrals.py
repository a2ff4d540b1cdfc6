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
            f"None of the {count(now.flagged_count, 'flagged reading')} of {record.quarter} has a "
            f"finding yet. Of {last.quarter}: {_outcome(last)}."
        )
    return f"Of {count(now.flagged_count, 'flagged reading')}, {_outcome(now)}."


def _outcome(one: Referral) -> str:
    confirmed, days = one.confirmed, one.median_days
    speed = "" if days is None else f"; half were seen within {days:.0f} days"
    slow = "" if one.slow_days is None or not speed else f", nine in ten within {one.slow_days:.0f}"
    return (
        f"{one.examined_count:,} examined so far, {confirmed.count:,} with a loose connection or "
        f"a device fault, {theme.share(confirmed.value)} "
        f"({theme.interval(confirmed.low, confirmed.high)}){speed}{slow}"
    )


def figures(record: QuarterRecord) -> list[Figure]:
    """Return the confirmed share and the days to the electrician's look, over the quarters."""
    drawn = record.referrals[-MOST_QUARTERS:]
    if not any(one.examined_count for one in drawn):
        return []
    confirmed = figure(
        "referral-confirmed",
        "Share of examined flags that electricians confirmed, by the quarter of the scan, with its "
        "95 % interval; what is still to be examined does not count.",
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
            theme.share(one.confirmed.value),
            theme.interval(one.confirmed.low, one.confirmed.high),
        )
        for one in record.referrals
    ]
    headers = (
        "quarter", "flagged", "examined", "loose connection", "device fault", "overload",
        "nothing found", "confirmed", "95 % interval",
    )  # fmt: skip
    return table("What electricians found of the flagged readings", headers, rows)


def _days_table(record: QuarterRecord) -> Table:
    rows = [
        (
            one.quarter,
            f"{one.examined_count:,}",
            f"{one.licensed_count:,}",
            "–" if one.median_days is None else f"{one.median_days:.0f}",
            "–" if one.slow_days is None else f"{one.slow_days:.0f}",
        )
        for one in record.referrals
    ]
    headers = ("quarter", "examined", "by a licensed one", "half within, days", "nine in ten, days")
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
            "–" if one.median_days is None else f"{one.median_days:.0f}",
        )
        for one in own
    ]
    headers = ("office", "flagged", "examined", "confirmed", "nothing found", "half within, days")
    return table("Referrals of the quarter by office", headers, rows)
