"""What could not be judged, how well the readings were taken, and what the files held."""

from __future__ import annotations

from dashboards import theme
from dashboards.pages.parts import Table, count, table
from dashboards.quarter_records import QuarterRecord


def unjudged_sentence(record: QuarterRecord) -> str:
    """Say how many readings got no verdict."""
    now = record.now
    if not now.unjudged_count:
        return "Every reading that does not contradict itself could be judged."
    part = theme.share(now.unjudged_count / now.reading_count)
    again = (
        f" and {now.recheck_count:,} contradict themselves (see data quality)"
        if now.recheck_count
        else ""
    )
    return (
        f"Of {count(now.reading_count, 'reading')}, {now.judged_count:,} were judged, "
        f"{now.unjudged_count:,} ({part}) could not be judged{again}. That says nothing for or "
        "against the devices; the table says what would settle it."
    )


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
        )
        for one in record.unjudged
    ]
    headers = (
        "what would settle it",
        "reason given, for example",
        "readings",
        "share",
        "visits of a panel",
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
        f"{one.kept_count:,} kept ({one.superseding_count:,} of them corrections), "
        f"{one.repeated_count:,} already there, {one.quarantined_count:,} rejected.{balance} "
        "A file that reaches into other quarters counts whole."
    )


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
        "Readings to take or look up again; one with two marks counts under both",
        headers,
        rows,
        text_columns=2,
    )


def _code(code: str) -> str:
    return code.replace("_", " ")
