"""What could not be judged, how well the readings were taken, and what the files held."""

from __future__ import annotations

from dashboards import theme
from dashboards.pages.parts import Table, count, listed, table
from dashboards.pages.quarter_words import slot_words
from dashboards.quarter_kept import FileCount
from dashboards.quarter_records import QuarterRecord


def unjudged_sentence(record: QuarterRecord) -> str:
    """Say how many readings got no verdict."""
    now = record.now
    if not now.unjudged_count:
        return "Every reading that does not contradict itself could be judged."
    part = theme.share(now.unjudged_count / now.reading_count)
    return (
        f"Of {count(now.reading_count, 'reading')}, {now.judged_count:,} were judged, "
        f"{now.unjudged_count:,} ({part}) could not be judged{_again(record)}. That says nothing "
        "for or against the devices; the table says what would settle it. Go back first to "
        f"those that were warm beside their panel: {_warm(record)}."
    )


def _again(record: QuarterRecord) -> str:
    """Say how many contradict themselves, and why the table of marks sums to more."""
    number = record.now.recheck_count
    if not number:
        return ""
    marks = sum(one.reading_count for one in record.rechecks)
    told = f", some in more than one way: {marks:,} in all" if marks != number else ""
    contradict = "contradicts itself" if number == 1 else "contradict themselves"
    return f" and {number:,} {contradict} (listed under data quality{told})"


def _warm(record: QuarterRecord) -> str:
    """Count the warm ones of those without a verdict, without a current and with one."""
    bare = sum(one.warm_count for one in record.unjudged if not one.clamped_count)
    rest = sum(one.warm_count for one in record.unjudged) - bare
    return f"{bare:,} of those without a current, {rest:,} of the others"


def unjudged_table(record: QuarterRecord) -> Table | None:
    """Return what would settle the readings without verdict, most frequent first."""
    if not record.unjudged:
        return None
    rows = [
        (
            one.next_step,
            one.reason,
            f"{one.reading_count:,}",
            theme.share(one.reading_count / record.now.reading_count),
            f"{one.visit_count:,}",
            f"{one.warm_count:,}",
        )
        for one in record.unjudged
    ]
    headers = (
        "what would settle it",
        "reason given, for example",
        "readings",
        "share",
        "visits of a panel",
        "warm ones",
    )
    return table("Readings that could not be judged", headers, rows, text_columns=2)


def protocol_sentence(record: QuarterRecord) -> str:
    """Say how completely the readings were taken."""
    one = record.protocol
    if not one.reading_count:
        return ""
    named = (
        ("a current", one.clamped_count),
        ("minutes under load", one.minutes_count),
        ("the termination", one.termination_count),
        ("the inspector", one.inspector_count),
    )
    words = "; ".join(f"{name} on {theme.share(n / one.reading_count)}" for name, n in named)
    several = (
        " One inspection may open several panels."
        if record.now.panel_count > record.now.inspection_count
        else ""
    )
    return f"Of all readings of the quarter the inspectors noted: {words}.{several}"


def unscreened_sentence(record: QuarterRecord) -> str:
    """Warn of readings that came in after the last screening."""
    waiting = record.protocol.unscreened_count
    if not waiting:
        return ""
    are = "is" if waiting == 1 else "are"
    return (
        f"{count(waiting, 'reading')} of the store came in after the last screening and {are} on "
        "no page yet: run loadrise fit and screen."
    )


def files_sentence(record: QuarterRecord) -> str:
    """Balance the rows of the quarter's files."""
    one = record.files
    if not one.file_count:
        return "No file is on record for these readings."
    rest = one.read_count - one.kept_count - one.repeated_count - one.quarantined_count
    balance = "" if rest == 0 else f" {count(abs(rest), 'row')} cannot be accounted for."
    return (
        f"{count(one.file_count, 'file')} with {count(one.read_count, 'row')}: "
        f"{one.kept_count:,} kept, {one.repeated_count:,} already there, "
        f"{one.quarantined_count:,} rejected.{balance} {_kept(one)} "
        "A file that reaches into other quarters counts whole."
    )


def _kept(one: FileCount) -> str:
    """Say where the kept rows went, so that they add up to the quarter's readings."""
    named = (
        (one.replaced_count, "replaced by a correction"),
        (one.astray_count, "with a date in no quarter of the store (listed below)"),
        (one.elsewhere_count, "of other quarters"),
    )
    rest = listed([f"{number:,} {words}" for number, words in named if number])
    those = "is a reading" if one.own_count == 1 else "are readings"
    return f"Of the kept, {one.own_count:,} {those} of this quarter{', ' * bool(rest)}{rest}."


def astray_table(record: QuarterRecord) -> Table | None:
    """Return the readings whose date lies in no quarter; None where there are none."""
    if not record.astray:
        return None
    rows = [
        (
            one.panel_id,
            slot_words(one.position, 1).removeprefix("slot "),
            one.inspection_id,
            one.inspected_at.date().isoformat(),
            one.file_name,
        )
        for one in record.astray[:MOST_ASTRAY]
    ]
    more = len(record.astray) - len(rows)
    words = f"; {more:,} more are in astray.csv" if more else ""
    headers = ("panel", "slot", "inspection", "date noted", "file")
    return table(
        f"Readings with a date in no quarter, mostly in the future: {len(record.astray):,}{words}",
        headers,
        rows,
        text_columns=5,
    )


MOST_ASTRAY = 30
"""Readings with a stray date on the page at most [1]; chosen: what one looks up at a sitting."""


def rejected_table(record: QuarterRecord) -> Table | None:
    """Return the rejected rows by code; None where there are none."""
    if not record.rejected:
        return None
    rows = [
        (_code(one.code), one.sentence, f"{one.row_count:,}", f"{one.file_count:,}")
        for one in record.rejected
    ]
    headers = ("code", "reason given, for example", "rows", "files")
    return table(
        "Rows that were rejected; one with two reasons counts under both",
        headers,
        rows,
        text_columns=2,
    )


def recheck_table(record: QuarterRecord) -> Table | None:
    """Return the readings that contradict themselves by code; None where there are none."""
    if not record.rechecks:
        return None
    rows = [(_code(one.code), one.sentence, f"{one.reading_count:,}") for one in record.rechecks]
    headers = ("code", "what was noticed, for example", "readings")
    return table(
        f"Readings to take or look up again: {record.now.recheck_count:,}; one with two marks "
        "counts under both",
        headers,
        rows,
        text_columns=2,
    )


def _code(code: str) -> str:
    return code.replace("_", " ")
