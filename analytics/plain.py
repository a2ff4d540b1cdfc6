"""Text from a field file made fit to be shown: the one place that knows which signs are not."""

from __future__ import annotations

import re

_ODD = re.compile(
    "(?P<blank>[\x00-\x1f\x7f-\x9f\u2028\u2029])"
    "|(?P<half>[\ud800-\udfff])"
    "|[\xad\u061c\u180e\u200b\u200e\u200f\u202a-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb"
    "\U000e0000-\U000e0fff]"
)
"""Control characters and line ends; halves of a character; what is unseen or turns the writing.

Joiners (U+200C, U+200D) stay: scripts and pictographs need them, and they turn nothing. Source: the
Unicode Character Database, categories Cc, Cs and Cf, and Unicode Standard Annex 9 for what turns.
"""
_RIGHT_TO_LEFT = "\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc\U00010800-\U00010fff\U0001e800-\U0001efff"
_TURNED = re.compile(f"[{_RIGHT_TO_LEFT}](?:[ \\d_./-]*[{_RIGHT_TO_LEFT}])*")
"""A name written from right to left [UCD, Bidi_Class R and AL], with its blanks and numbers."""
_UNIT = re.compile(r"(?<=\d) (?=(?:°[FC]|%|[KA]|mV|min)(?!\w))")
GAP = "\u00a0"
"""Blank between a number and its unit; no line breaks there."""


def printable(text: str) -> str:
    """Return text on one line without control characters, unseen signs and marks of direction.

    A control character or line end becomes a blank, half a character a replacement mark; so no
    terminal is steered and no neighbouring word turned round by what stood in a file.
    """
    return _ODD.sub(_shown, text) if _ODD.search(text) else text


def isolated(text: str) -> str:
    """Set what is written from right to left apart, so that the numbers beside it keep their place.

    Source: Unicode Standard Annex 9, section 2.7, first strong isolate and its end.
    """
    return _TURNED.sub("\u2068\\g<0>\u2069", text) if _TURNED.search(text) else text


def kept_together(text: str) -> str:
    """Return text in which no line ends between a number and its unit."""
    return _UNIT.sub(GAP, text)


def _shown(found: re.Match[str]) -> str:
    return {"blank": " ", "half": "\ufffd"}.get(found.lastgroup or "", "")


def storable(name: str) -> str:
    """Return a file's name as text that can be stored: bytes that are no text become marks."""
    return re.sub("[\ud800-\udfff]", "\ufffd", name)


def escaped(json_text: str) -> str:
    r"""Return JSON with the same signs as `\u` escapes: all is kept, and no terminal is steered."""
    return _ODD.sub(_escape, json_text)


def _escape(found: re.Match[str]) -> str:
    sign = found[0]
    if sign == "\n":
        return sign
    units = sign.encode("utf-16-be", "surrogatepass").hex()
    return "".join(f"\\u{units[i : i + 4]}" for i in range(0, len(units), 4))
