"""What an ingest did: frozen records, one a file, with their sums."""

from __future__ import annotations

from dataclasses import dataclass, field

from analytics.notices import Notice


@dataclass(frozen=True)
class Remark:
    """A reason why a row was not kept (`kind` quarantine) or was marked (`kind` recheck)."""

    kind: str
    sheet: str
    line: int
    column: str
    cell: str
    code: str
    sentence: str


@dataclass(frozen=True)
class Match:
    """A canonical column and the header it is read from; `how` is exact, map, guess or constant."""

    column: str
    header: str
    how: str
    unit: str = ""


@dataclass(frozen=True)
class FileReport:
    """What became of one file; `read` = `kept` + `repeated` + `quarantined`, in rows.

    `status` is kept (in a dry run: would be kept), known (the same content was read in before),
    refused (the columns or units are not clear; see `error` and `suggested_map`) or failed
    (cannot be read). `superseding` counts those of the kept rows that correct an earlier row,
    `marked` the kept rows with a recheck mark. `remarks` holds at most the first 10,000.
    """

    name: str
    status: str
    holds: str = ""
    read: int = 0
    kept: int = 0
    repeated: int = 0
    quarantined: int = 0
    superseding: int = 0
    marked: int = 0
    matches: tuple[Match, ...] = ()
    ignored: tuple[str, ...] = ()
    notices: tuple[Notice, ...] = ()
    remarks: tuple[Remark, ...] = ()
    remark_counts: tuple[tuple[str, str, int], ...] = ()
    error: str = ""
    suggested_map: str = ""

    @property
    def guesses(self) -> tuple[Match, ...]:
        """The matches that are guesses."""
        return tuple(match for match in self.matches if match.how == "guess")

    @property
    def is_trouble(self) -> bool:
        """Whether the file could not be taken in."""
        return self.status in ("refused", "failed")


@dataclass(frozen=True)
class IngestReport:
    """What became of all files of one call."""

    files: tuple[FileReport, ...] = ()
    is_dry_run: bool = False
    notices: tuple[Notice, ...] = field(default=())

    def total(self, count: str) -> int:
        """Return the sum of one count (read, kept, repeated …) over the files."""
        return sum(int(getattr(file, count)) for file in self.files)

    @property
    def read(self) -> int:
        """Rows read."""
        return self.total("read")

    @property
    def kept(self) -> int:
        """Rows kept."""
        return self.total("kept")

    @property
    def repeated(self) -> int:
        """Rows that were known before, or stood earlier in their file."""
        return self.total("repeated")

    @property
    def quarantined(self) -> int:
        """Rows not kept, with a reason."""
        return self.total("quarantined")

    @property
    def superseding(self) -> int:
        """Kept rows that correct earlier ones."""
        return self.total("superseding")

    @property
    def exit_code(self) -> int:
        """0, or 1 where a file could not be read or rows were read and none kept or known."""
        if any(file.is_trouble for file in self.files):
            return 1
        return int(self.read > 0 and self.kept + self.repeated == 0)
