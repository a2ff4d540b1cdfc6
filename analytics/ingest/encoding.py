"""Which encoding a text file has, and its content as clean UTF-8 blocks."""

from __future__ import annotations

import codecs
import hashlib
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

BLOCK_LINES = 2 * 122_880
"""Lines a block: two row groups of the store; chosen, larger ones only cost memory."""
CHUNK_BYTES = 2**20
"""Bytes read at once; chosen, they stay in the processor's cache."""
ROOM_BYTES = 48 * 2**20
"""Bytes that a large text's room begins with; chosen, a block of 190 bytes a line."""
LOOK_BYTES = 2**18
"""Bytes looked through at once; chosen, they stay in the processor's cache."""
HEAD_BYTES = 2**20
DATE_PLACES, DATE_BYTES = 400, 2**13
"""Places of a file looked at for dates, and bytes at each; chosen, 3 MB in all."""
_DATE = re.compile(r"\b\d{1,2}[./-]\d{1,2}[./-]\d{2,4}\b")
_CONTROLS = bytes(c for c in (*range(32), 127) if c not in (9, 10, 13))
_ODD_SPACES = re.compile(b"\xc2\xa0|\xe2\x80[\x87\xa8\xa9\xaf\x89]")
_HIGH_CONTROLS = re.compile(b"\xc2[\x80-\x9f]")
_UNSEEN = re.compile(
    b"\xc2[\x80-\x9f\xad]|\xd8\x9c|\xe1\xa0\x8e|\xe2\x80[\x8b\x8e\x8f\xaa-\xae]"
    b"|\xe2\x81[\xa0-\xaf]|\xef\xbb\xbf|\xef\xbf[\xb9-\xbb]|\xf3\xa0[\x80-\xbf][\x80-\xbf]"
)
"""High controls and what `analytics.plain` does not show, in UTF-8: two names that look the same
are to be the same."""
_SINGLE_BYTE = ["cp1252", "latin_1", "cp850", "mac_roman"]


@dataclass
class Cleaning:
    """What was done to a file's text; grows while the blocks are read."""

    digest: str = ""
    size: int = 0
    control_count: int = 0
    unseen_count: int = 0
    mixed_lines: int = 0
    own_lines: int = 0
    filled_cells: int = 0
    encoding: str = "utf-8"


def detect(head: bytes) -> str:
    """Return the encoding of a file from its first bytes; UTF-8 unless they say otherwise."""
    for mark, name in (
        (codecs.BOM_UTF8, "utf-8"),
        (codecs.BOM_UTF32_LE, "utf-32"),
        (codecs.BOM_UTF16_LE, "utf-16"),
        (codecs.BOM_UTF16_BE, "utf-16"),
    ):
        if head.startswith(mark):
            return name
    if wide := _wide(head):
        return wide
    try:
        codecs.getincrementaldecoder("utf-8")("strict").decode(head)
    except UnicodeDecodeError:
        return _single_byte(head)
    return "utf-8"


def _wide(head: bytes) -> str:
    """Tell UTF-16 without a mark by its zero bytes, all in even or all in odd places."""
    even, odd = head[0:4000:2].count(0), head[1:4000:2].count(0)
    if min(len(head), 4000) < 8:
        return ""
    half = min(len(head), 4000) / 2
    if odd > 0.6 * half and even < 0.1 * half:
        return "utf-16-le"
    return "utf-16-be" if even > 0.6 * half and odd < 0.1 * half else ""


def _single_byte(head: bytes) -> str:
    """Choose among single-byte encodings; one stray byte is no reason to leave UTF-8."""
    odd = [line for line in head.split(b"\n") if not line.isascii()]
    bad = [line for line in odd if not _is_utf8(line)]
    if len(bad) * 10 <= len(odd):
        return "utf-8"
    from charset_normalizer import from_bytes

    best = from_bytes(b"\n".join(bad[:2000]), cp_isolation=_SINGLE_BYTE).best()
    found = best.encoding if best else "cp1252"
    return "cp1252" if found == "latin_1" else found


def _is_utf8(line: bytes | bytearray) -> bool:
    try:
        line.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True


@dataclass(frozen=True)
class Block:
    """Whole records as clean UTF-8 text, and how many lines they are.

    The memory is used again: the text holds until the next block is asked for.
    """

    data: bytes | bytearray | memoryview
    line_count: int

    @property
    def is_blank(self) -> bool:
        """Whether there is nothing in it."""
        return bytes(self.data[:80]).isspace() and bytes(self.data).isspace()

    def without(self, lines: int) -> memoryview:
        """Return the text without its first lines."""
        at = 0
        text = bytes(self.data) if lines else b""
        for _ in range(lines):
            at = text.index(b"\n", at) + 1
        return memoryview(self.data)[at:]


class _Room:
    """Text that is taken in chunk by chunk and given out block by block, in the same memory.

    A new block of memory each time would cost more than all that is done with the text.
    """

    def __init__(self, file_bytes: int) -> None:
        self.text = bytearray(min(file_bytes + 1, ROOM_BYTES))
        self.size = self.line_count = 0

    def add(self, raw: bytes) -> None:
        """Append the chunk."""
        end = self.size + len(raw)
        if end > len(self.text):
            self.text = self.text + bytes(max(end - len(self.text), len(self.text) // 2))
        self.text[self.size : end] = raw
        self.size = end
        self.line_count += _count(raw, ord("\n"))

    def cut(self, lines: int) -> tuple[int, int]:
        """Return the end of a block of at most so many lines, in bytes and in lines."""
        line_end = _line_end(self.text, self.size, self.line_count - lines)
        cut = _record_end(self.text, line_end)
        return cut, lines - self.text.count(b"\n", cut, line_end)

    def drop(self, cut: int, lines: int) -> None:
        """Forget the text up to `cut`."""
        self.text[: self.size - cut] = self.text[cut : self.size]
        self.size, self.line_count = self.size - cut, self.line_count - lines

    def part(self, cut: int, line_count: int) -> memoryview | bytearray:
        """Return the text up to `cut`; as it lies where it needs no cleaning."""
        here = memoryview(self.text)[:cut]
        small = largest = 0
        for start in range(0, cut, LOOK_BYTES):
            codes = np.frombuffer(here[start : start + LOOK_BYTES], dtype=np.uint8)
            small += int(np.count_nonzero(codes < 32))
            largest = max(largest, int(codes.max()))
        others = small - line_count
        if others and largest < 128:
            others -= self.text.count(b"\r\n", 0, cut) + self.text.count(b"\t", 0, cut)
        return bytearray(here) if others or largest > 127 else here


def _count(raw: bytes, code: int) -> int:
    return int(np.count_nonzero(np.frombuffer(raw, dtype=np.uint8) == code))


def blocks(
    path: Path, encoding: str, cleaning: Cleaning, lines: int = BLOCK_LINES
) -> Iterator[Block]:
    """Yield the text as clean UTF-8 blocks that end with a record; `cleaning` tells what was done.

    Control and unseen characters are taken out and unusual blanks made plain. A block ends at a
    line end with all quotation marks closed, unless a stray mark makes that impossible.
    """
    cleaning.encoding = encoding
    room = _Room(path.stat().st_size)
    for raw in _decoded(path, encoding, cleaning):
        room.add(raw)
        while room.line_count >= lines:
            cut, count = room.cut(lines)
            yield _clean(room.part(cut, count), count, cleaning)
            room.drop(cut, count)
    text = room.text[: room.size]
    if text and not text.isspace():
        text += b"" if text.endswith(b"\n") else b"\n"
        yield _clean(text, text.count(b"\n"), cleaning)


def _line_end(text: bytearray, size: int, lines_after: int) -> int:
    """Return the end of the line that has so many line ends after it."""
    step, end = 2**16, size
    left = lines_after
    while (here := text.count(b"\n", max(end - step, 0), end)) <= left:
        left, end = left - here, max(end - step, 0)
    for _ in range(left):
        end = text.rfind(b"\n", 0, end)
    return text.rfind(b"\n", 0, end) + 1


def spread_dates(path: Path, encoding: str) -> list[str]:
    """Return dates of three numbers, year last, from places all over a text file."""
    found: list[str] = []
    size = path.stat().st_size
    with path.open("rb") as file:
        for place in range(DATE_PLACES):
            file.seek(size * place // DATE_PLACES // 4 * 4)
            text = file.read(DATE_BYTES).decode(encoding.removesuffix("-sig"), "replace")
            found += _DATE.findall(text)
    return found


def _decoded(path: Path, encoding: str, cleaning: Cleaning) -> Iterator[bytes]:
    """Yield the file's bytes as UTF-8, hashing the bytes as they stand."""
    digest = hashlib.sha256()
    decoder = None if encoding == "utf-8" else codecs.getincrementaldecoder(encoding)("replace")
    is_first = True
    with path.open("rb") as file:
        while raw := file.read(CHUNK_BYTES):
            digest.update(raw)
            cleaning.size += len(raw)
            if is_first and decoder is None:
                raw = raw.removeprefix(codecs.BOM_UTF8)
            is_first = False
            yield decoder.decode(raw).encode("utf-8") if decoder else raw
    if decoder and (last := decoder.decode(b"", final=True)):
        yield last.encode("utf-8")
    cleaning.digest = digest.hexdigest()


def _record_end(text: bytearray, cut: int) -> int:
    """Return the last line end up to `cut` that is outside quotation marks, or `cut`."""
    if text.find(b'"', 0, cut) < 0:
        return cut
    is_open = text.count(b'"', 0, cut) % 2 == 1
    place, tries = cut, 0
    while is_open and place > 1 and tries < 2000:
        before = text.rfind(b"\n", 0, place - 1) + 1
        is_open = (text.count(b'"', before, place) % 2 == 1) != is_open
        place, tries = before, tries + 1
    return cut if is_open or place == 0 else place


def _clean(data: bytes | bytearray | memoryview, line_count: int, cleaning: Cleaning) -> Block:
    if isinstance(data, memoryview):
        return Block(data, line_count)
    if b"\r" in data and data.count(b"\r\n") < data.count(b"\r"):
        data = data.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
        line_count = data.count(b"\n")
    if _has_controls(data, line_count):
        fewer = data.translate(None, _CONTROLS)
        cleaning.control_count += len(data) - len(fewer)
        data = fewer
    if data.isascii():
        return Block(data, line_count)
    if not _is_utf8(data):
        data = _mend(bytes(data), cleaning)
    fewer, count = _UNSEEN.subn(b"", data)
    controls = len(_HIGH_CONTROLS.findall(data)) if count else 0
    cleaning.control_count += controls
    cleaning.unseen_count += count - controls
    return Block(_ODD_SPACES.sub(b" ", fewer), line_count)


def cleaned(text: str, cleaning: Cleaning) -> str:
    """Return a cell's text cleaned as a block is."""
    if text.isascii() and text.isprintable():
        return text
    data = text.encode("utf-8", "replace")
    return bytes(_clean(data, data.count(b"\n"), cleaning).data).decode("utf-8")


def _has_controls(data: bytes | bytearray, line_count: int) -> bool:
    parts = np.array_split(np.frombuffer(data, dtype=np.uint8), 64)
    small = sum(int(np.count_nonzero(part < 32)) for part in parts) - line_count
    return small > 0 and small > data.count(b"\r") + data.count(b"\t")


def _mend(block: bytes, cleaning: Cleaning) -> bytes:
    """Read the lines that are not UTF-8 as Windows-1252, the usual stray encoding."""
    lines = block.split(b"\n")
    for number, line in enumerate(lines):
        if not line.isascii() and not _is_utf8(line):
            cleaning.mixed_lines += 1
            lines[number] = line.decode("cp1252", "replace").encode("utf-8")
    return b"\n".join(lines)
