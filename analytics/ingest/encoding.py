"""Which encoding a text file has, and its content as clean UTF-8 blocks."""

from __future__ import annotations

import codecs
import hashlib
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

BLOCK_BYTES = 48 * 2**20
"""Bytes a block: chosen, a third of a million rows; larger blocks only cost memory."""
HEAD_BYTES = 2**20
_CONTROLS = bytes(c for c in (*range(32), 127) if c not in (9, 10, 13))
_ODD_SPACES = re.compile(b"\xc2\xa0|\xe2\x80\x87|\xe2\x80\xaf|\xe2\x80\x89")
_NOTHING = re.compile(b"\xe2\x80\x8b|\xe2\x80\x8e|\xe2\x80\x8f|\xef\xbb\xbf")
_SINGLE_BYTE = ["cp1252", "latin_1", "cp850", "mac_roman"]


@dataclass
class Cleaning:
    """What was done to a file's text; grows while the blocks are read."""

    digest: str = ""
    size: int = 0
    control_count: int = 0
    mixed_lines: int = 0
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


def _is_utf8(line: bytes) -> bool:
    try:
        line.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True


def blocks(
    path: Path, encoding: str, cleaning: Cleaning, size: int = BLOCK_BYTES
) -> Iterator[bytes]:
    """Yield the text as clean UTF-8 blocks that end with a record; `cleaning` tells what was done.

    Control characters are taken out and unusual blanks made plain. A block ends at a line end with
    all quotation marks closed, unless a stray mark makes that impossible.
    """
    cleaning.encoding = encoding
    rest = b""
    for raw in _decoded(path, encoding, cleaning, size):
        text = rest + raw
        cut = _record_end(text)
        if cut == 0:
            rest = text
            continue
        rest = text[cut:]
        yield _clean(text[:cut], cleaning)
    if rest.strip():
        yield _clean(rest if rest.endswith(b"\n") else rest + b"\n", cleaning)


def _decoded(path: Path, encoding: str, cleaning: Cleaning, size: int) -> Iterator[bytes]:
    """Yield the file's bytes as UTF-8, hashing the bytes as they stand."""
    digest = hashlib.sha256()
    decoder = None if encoding == "utf-8" else codecs.getincrementaldecoder(encoding)("replace")
    is_first = True
    with path.open("rb") as file:
        while raw := file.read(size):
            digest.update(raw)
            cleaning.size += len(raw)
            if is_first and decoder is None:
                raw = raw.removeprefix(codecs.BOM_UTF8)
            is_first = False
            yield decoder.decode(raw).encode("utf-8") if decoder else raw
    if decoder and (last := decoder.decode(b"", final=True)):
        yield last.encode("utf-8")
    cleaning.digest = digest.hexdigest()


def _record_end(text: bytes) -> int:
    """Return where the last whole record ends: the last line end outside quotation marks, or 0."""
    cut = text.rfind(b"\n") + 1
    if cut == 0 or b'"' not in text:
        return cut
    is_open = text.count(b'"', 0, cut) % 2 == 1
    place, tries = cut, 0
    while is_open and place > 1 and tries < 2000:
        before = text.rfind(b"\n", 0, place - 1) + 1
        is_open = (text.count(b'"', before, place) % 2 == 1) != is_open
        place, tries = before, tries + 1
    return cut if is_open or place == 0 else place


def _clean(block: bytes, cleaning: Cleaning) -> bytes:
    if b"\r" in block and block.count(b"\r\n") < block.count(b"\r"):
        block = block.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    small = int(np.count_nonzero(np.frombuffer(block, dtype=np.uint8) < 32))
    if small != block.count(b"\n") + block.count(b"\r") + block.count(b"\t"):
        fewer = block.translate(None, _CONTROLS)
        cleaning.control_count += len(block) - len(fewer)
        block = fewer
    if block.isascii():
        return block
    if not _is_utf8(block):
        block = _mend(block, cleaning)
    return _NOTHING.sub(b"", _ODD_SPACES.sub(b" ", block))


def _mend(block: bytes, cleaning: Cleaning) -> bytes:
    """Read the lines that are not UTF-8 as Windows-1252, the usual stray encoding."""
    lines = block.split(b"\n")
    for number, line in enumerate(lines):
        if not line.isascii() and not _is_utf8(line):
            cleaning.mixed_lines += 1
            lines[number] = line.decode("cp1252", "replace").encode("utf-8")
    return b"\n".join(lines)
