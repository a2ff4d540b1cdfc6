"""A file written beside its place and moved in, so that no half file is ever seen."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from analytics.errors import UsageError


@contextmanager
def put_in_place(out: Path) -> Iterator[Path]:
    """Yield a path beside `out` to write to; it becomes `out` at the end, or is removed.

    Raises UsageError where `out` is a folder or lies in none; an OSError names `out`.
    """
    if out.is_dir() or not out.parent.is_dir():
        raise UsageError(f"{out} cannot be written: a folder is in the way or missing.")
    draft = out.with_name(f".{out.stem}.{os.getpid()}.part{out.suffix}")
    try:
        yield draft
        draft.replace(out)
    except OSError as error:
        if error.filename in (draft, str(draft)):
            error.filename = str(out)
        raise
    finally:
        draft.unlink(missing_ok=True)
