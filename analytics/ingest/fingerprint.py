"""Whether a file's content was read in before: by size, time and sample, else by its whole hash."""

from __future__ import annotations

import hashlib
from functools import cached_property
from pathlib import Path

from analytics.warehouse import Warehouse

SAMPLES = 16
SAMPLE_BYTES = 2**14
"""Bytes a sample, of which a file gives first, last and those between; chosen, read in 1 ms."""


class Fingerprint:
    """What tells one file's content from another's.

    A file with the size, the time of change and the samples of a known one counts as that one
    without being read through; otherwise the SHA-256 of its content decides. An edit that keeps
    size and time of change and misses the samples is not seen.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self._stat = path.stat()

    @property
    def size_bytes(self) -> int:
        """Size of the file."""
        return self._stat.st_size

    @property
    def changed_ns(self) -> int:
        """When the file was last changed, nanoseconds of the system's clock."""
        return self._stat.st_mtime_ns

    @cached_property
    def sample_sha256(self) -> str:
        """SHA-256 of the samples."""
        digest = hashlib.sha256()
        with self.path.open("rb") as file:
            for index in range(SAMPLES):
                file.seek(max(self.size_bytes - SAMPLE_BYTES, 0) * index // (SAMPLES - 1))
                digest.update(file.read(SAMPLE_BYTES))
        return digest.hexdigest()

    @cached_property
    def content_sha256(self) -> str:
        """SHA-256 of the whole content."""
        with self.path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()

    def known_as(self, warehouse: Warehouse) -> str:
        """Return the name under which the same content was read in before, or ''."""
        same_size = warehouse.rows("staging.known_file", size_bytes=self.size_bytes)
        for name, _, changed_ns, sample in same_size:
            if changed_ns == self.changed_ns and sample == self.sample_sha256:
                return str(name)
        for name, content, _, _ in same_size:
            if content == self.content_sha256:
                return str(name)
        return ""
