"""Reading a file anew: what its former reading left makes room, in the same transaction."""

from __future__ import annotations

from analytics.warehouse import Warehouse

_KEYS = {
    "reading": ("inspection_id", "panel_id", "position"),
    "finding": ("inspection_id", "panel_id", "position", "found_at"),
}
"""What a corrected row shares with the one that it corrects."""
_REVIVED = """
update records.{kind} set is_current = true where {kind}_id in (
    select max(older.{kind}_id)
    from records.{kind} as older
    semi join (
        select * from records.{kind} where list_contains($ids, file_id) and is_current
    ) as gone on {alike}
    where not older.is_current and not list_contains($ids, older.file_id)
    group by {key}
)
"""
_MARKS = """
delete from records.recheck where reading_id in (
    select reading_id from records.reading where list_contains($ids, file_id)
)
"""
_KEPT = ("reading", "finding", "quarantine", "file_print", "source_file")


def forget(warehouse: Warehouse, content_sha256: str) -> None:
    """Take out the rows that earlier readings of this content left; call inside a transaction.

    A row of another file that they had corrected is in force again. The file itself is unchanged,
    so no history of the firm's is lost: only how it was read.
    """
    ids = [
        row[0] for row in warehouse.rows("staging.file_of_content", content_sha256=content_sha256)
    ]
    if not ids:
        return
    for kind, key in _KEYS.items():
        alike = " and ".join(f"older.{name} is not distinct from gone.{name}" for name in key)
        older = ", ".join(f"older.{name}" for name in key)
        warehouse.execute(_REVIVED.format(kind=kind, alike=alike, key=older), {"ids": ids})
    warehouse.execute(_MARKS, {"ids": ids})
    for table in _KEPT:
        warehouse.execute(
            f"delete from records.{table} where list_contains($ids, file_id)", {"ids": ids}
        )
