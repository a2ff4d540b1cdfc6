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
            f"examined by a licensed electrician yet.{_waiting(now)} Of {last.quarter}: "
            f"{_outcome(last)}. {ONLY_LICENSED}"
        )
    return (
        f"Of {count(now.flagged_count, 'flagged reading')}, {_outcome(now)}.{_waiting(now)} "
        f"{ONLY_LICENSED}"
    )


ONLY_LICENSED = (
    "Only what a licensed electrician examined is counted and drawn, here as on the tuning page; "
    "that one counts all quarters together, and devices that were not flagged too."
)


def _waiting(one: Referral) -> str:
    """Say how many are still to be examined; a look without a licence leaves one so."""
    waiting = one.flagged_count - one.examined_count
    if not waiting:
        return ""
    others = (
        f", {one.other_count:,} of them looked at by someone without a licence"
        if one.other_count
        else ""
    )
    are = "is" if waiting == 1 else "are"
    return f" {count(waiting, 'device')} {are} still to be examined{others}."


def _outcome(one: Referral) -> str:
    confirmed, days = one.confirmed, one.median_days
    named = (
        (one.overload_count, "carried too much current"),
        (one.nothing_count, "showed nothing"),
    )
    rest = "".join(f", {number:,} {words}" for number, words in named if number)
    speed = ""
    if days is not None and one.slow_days is not None:
        speed = (
            f"; of the {one.examined_count:,} examined half were seen within {days:.0f} days of "
            f"the scan, nine in ten within {one.slow_days:.0f}"
            if one.examined_count > 1
            else f"; it was seen {count(round(days), 'day')} after the scan"
        )
    return (
        f"{one.examined_count:,} examined by licensed electricians so far: {confirmed.count:,} had "
        f"a loose connection or a device fault, {theme.share(confirmed.value)} "
        f"({theme.interval(confirmed.low, confirmed.high)}){rest}{speed}"
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
        "Days from the scan to the electrician’s look, of what was examined alone: the dot is the "
        "middle case, the line reaches up to nine in ten; late quarters still lack their slow "
        "ones.",
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
        "nothing found", "without a licence", "confirmed", "95 % interval",
    )  # fmt: skip
    return table("What licensed electricians found of the flagged readings", headers, rows)


def _days_table(record: QuarterRecord) -> Table:
    rows = [
        (
            one.quarter,
            f"{one.examined_count:,}",
            f"{one.flagged_count - one.examined_count:,}",
            "–" if one.median_days is None else f"{one.median_days:.0f}",
            "–" if one.slow_days is None else f"{one.slow_days:.0f}",
        )
        for one in record.referrals
    ]
    headers = ("quarter", "examined", "not yet", "half within, days", "nine in ten, days")
    return table(
        "Days from the scan to the electrician’s look, of what was examined", headers, rows
    )


def chance_table(record: QuarterRecord) -> Table | None:
    """Return stated chances by class beside what was found; None where nothing was examined."""
    if not record.chances:
        return None
    tops = {0.0: 0.1, 0.1: 0.3, 0.3: 0.7, 0.7: 0.9, 0.9: 1.0}
    rows = [
        (
            theme.interval(one.low, tops[one.low])
            if one.low
            else f"under {theme.share(tops[0.0])}",
            f"{one.examined_count:,}",
            f"{one.confirmed_count:,}",
            f"{one.expected:.1f}",
            f"{one.overload_count:,}",
            f"{one.nothing_count:,}",
            theme.share(one.confirmed_count / one.examined_count),
            theme.interval(one.confirmed_low, one.confirmed_high),
        )
        for one in record.chances
    ]
    headers = (
        "stated chance", "examined", "confirmed", "expected", "overload", "nothing found",
        "confirmed share", "95 % interval",
    )  # fmt: skip
    return table(f"Stated chances and what was found, up to {record.quarter}", headers, rows)
