"""What every command is handed: the store that was named, if any."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from analytics.errors import StoreError, UsageError


@dataclass(frozen=True)
class Session:
    """The settings that stand before the command; commands find it in `ctx.obj`."""

    store: Path | None = None

    def require_store(self) -> Path:
        """Return the path of the store. Raises UsageError where none was named."""
        if self.store is None:
            raise UsageError(
                "No store was named.",
                "Put --store FILE before the command, or set LOADRISE_STORE.",
            )
        return self.store

    def existing_store(self) -> Path:
        """Return the path of a store that is there already; StoreError where it is not."""
        path = self.require_store()
        if not path.exists():
            raise StoreError(f"There is no store at {path}.", "Make one with loadrise ingest.")
        return path
