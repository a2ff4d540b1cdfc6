"""The desk: tables of one's own in memory beside a store that is only read."""

from __future__ import annotations

from pathlib import Path

from analytics import upkeep
from analytics.errors import QueryError
from analytics.warehouse import (
    STAGES,
    Warehouse,
    check_store_name,
    open_bare,
    trouble_on_open,
)

FLEET = "fleet"
"""The catalog under which the store can be read on the desk."""


def open_desk(path: str | Path) -> Warehouse:
    """Open the store at `path` to be read, as the catalog `fleet`, beside empty stages in memory.

    Queries then run on small tables: nothing can be written to the store, and others may read it
    meanwhile. Raises as `open_store` does.
    """
    text = str(path)
    check_store_name(text, read_only=True)
    desk = open_bare(without="parse_")
    desk.path = text
    try:
        _attach(desk, text)
        desk.execute(f"use {FLEET}")
        upkeep.bring_forward(desk, read_only=True)
        upkeep.check_rows(desk)
        desk.execute("use memory")
        for stage in STAGES:
            desk.execute(f"create schema {stage}")
    except BaseException:
        desk.close()
        raise
    return desk


def _attach(desk: Warehouse, text: str) -> None:
    quoted = text.replace("'", "''")
    try:
        desk.execute(f"attach '{quoted}' as {FLEET} (read_only)")
    except QueryError as error:
        raise trouble_on_open(text, error.trouble) from error
