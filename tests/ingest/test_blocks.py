"""Text cut into blocks: nothing lost, nothing twice, records whole, whatever the chunks."""

from __future__ import annotations

from pathlib import Path

import pytest

from analytics.ingest import encoding

LINES = {
    "plain": ["a,b,c", "1,2,3", "", "4,5,6"],
    "returns": ["a,b,c\r", "1,2,3\r", "4,5,6\r"],
    "tabs": ["a\tb\tc", "1\t2\t3"],
    "accents": ["é,b,c", "1,°F,ß", "plain,line,here"],
    "quoted": ['a,"two', 'lines",c', '1,"2",3'],
}


@pytest.mark.parametrize("kind", LINES)
@pytest.mark.parametrize("chunk", [7, 64, 4096])
def test_blocks_joined_are_the_text(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, kind: str, chunk: int
) -> None:
    monkeypatch.setattr(encoding, "CHUNK_BYTES", chunk)
    monkeypatch.setattr(encoding, "ROOM_BYTES", 16)
    monkeypatch.setattr(encoding, "LOOK_BYTES", 5)
    text = "\n".join(LINES[kind] * 40) + "\n"
    path = tmp_path / "a.csv"
    path.write_bytes(text.encode())
    cleaning, joined, lines = encoding.Cleaning(), b"", 0
    for block in encoding.blocks(path, "utf-8", cleaning, 9):
        data = bytes(block.data)
        assert data.count(b"\n") == block.line_count <= 9
        assert data.count(b'"') % 2 == 0
        joined, lines = joined + data, lines + block.line_count
    assert joined.decode() == text
    assert lines == text.count("\n")
    assert (cleaning.size, cleaning.control_count) == (len(text.encode()), 0)


@pytest.mark.parametrize(
    ("odd", "clean"), [("\x07", ""), ("\x00", ""), ("\x7f", "\x7f"), ("\u00a0", " "), ("\r", "\n")]
)
def test_only_the_odd_block_is_cleaned(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, odd: str, clean: str
) -> None:
    monkeypatch.setattr(encoding, "CHUNK_BYTES", 50)
    text = "1,2,3\n" * 50 + f"4{odd},5,6\n" + "7,8,9\n" * 50
    path = tmp_path / "a.csv"
    path.write_bytes(text.encode())
    blocks = encoding.blocks(path, "utf-8", encoding.Cleaning(), 10)
    joined = b"".join(bytes(block.data) for block in blocks)
    assert joined.decode() == text.replace(odd, clean)


def test_a_block_without_its_first_lines() -> None:
    block = encoding.Block(memoryview(b"title\nhead\n1\n2\n"), 4)
    assert bytes(block.without(2)) == b"1\n2\n"
    assert bytes(block.without(0)) == b"title\nhead\n1\n2\n"
    assert not block.is_blank
    assert encoding.Block(memoryview(b" \n" * 99), 99).is_blank
    assert not encoding.Block(memoryview(b" \n" * 99 + b"1\n"), 100).is_blank
