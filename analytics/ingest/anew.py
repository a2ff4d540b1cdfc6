"""Reading a file anew: what its former reading left makes room, in the same transaction."""

from __future__ import annotations

from analytics.warehouse import Warehouse

_REVIVED = """
update records.{kind} set is_current = true where {kind}_id in (
    select max(older.{kind}_id)
    from records.{kind} as older
    semi join (
        select * from records.{kind} where list_contains($ids, file_id) and is_current
    ) as gone using (inspection_id, panel_id, position)
    where not older.is_current and not list_contains($ids, older.file_id)
    group by older.inspection_id, older.panel_id, older.position
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
    for kind in ("reading", "finding"):
        warehouse.execute(_REVIVED.format(kind=kind), {"ids": ids})
    warehouse.execute(_MARKS, {"ids": ids})
    for table in _KEPT:
        warehouse.execute(
            f"delete from records.{table} where list_contains($ids, file_id)", {"ids": ids}
        )
