"""A small fleet whose sheets carry hostile text wherever text may stand; numbers by hand."""

from __future__ import annotations

import csv
from pathlib import Path

MARKUP = (
    "<script>window.__hit=1</script>",
    '<img src=x onerror="window.__hit=1">',
    "</script><script>window.__hit=1</script>",
    "]]><svg onload=window.__hit=1>",
    "{{7*7}}",
    "<a href='javascript:window.__hit=1'>x</a>",
)
FORMULAS = (
    '=HYPERLINK("http://x","y")',
    "+cmd|' /C calc'!A0",
    "@SUM(1)",
    "-2+3",
    "\t=1+1",
    "\r=1+1",
)
SIGNS = (
    "\u202egnol\u202c",
    "a\u200bb\u2060c\u2066d\u2069",
    "\x1b[31mred\x1b]0;title\x07",
    "\x9b31mred\x00\x08\x7f",
    "⚡🔥👩\u200d🔧",
    "50 % \"q\" 'r' %s %n {0}",
    "'); drop table x; --",
)
TEXTS = (*MARKUP, *FORMULAS, *SIGNS)
LONG = "x'<b>\u202e" + "long" * 2500
COLUMNS = (
    "inspection_id", "inspector_id", "office_id", "camera_id", "clamp_id", "site_id", "panel_id",
    "make",
)  # fmt: skip
VISITS, SLOTS = 96, range(1, 9)
FILE_NAMES = ('a <b onmouseover="window.__hit=1">\x1b[31m.csv', "\u202e'=1+1'&amp;.csv")


def text(place: int) -> str:
    """Return one of the texts; the same place, the same text."""
    return TEXTS[place % len(TEXTS)]


def readings() -> list[dict[str, object]]:
    """Return one row a device: rise grows as load^1.6; one office finds more hot ones, late."""
    return [_row(visit, slot) for visit in range(VISITS) for slot in SLOTS]


def _row(visit: int, slot: int) -> dict[str, object]:
    load = ((visit * 7 + slot * 3) % 19 + 1) / 20
    ripple = ((visit * 5 + slot * 11) % 13 - 6) / 6
    hot = 25.0 if visit >= VISITS // 2 and visit % 2 == 0 and slot in (3, 5) else 0.0
    hot += 4.0 * (visit >= 2 * VISITS // 3 and visit % 3 == 0)
    names = {
        "inspection_id": f"{text(visit)} V{visit:03}",
        "inspector_id": f"{text(visit % 4 + 3)} I{visit % 4}",
        "office_id": f"{text(visit % 2 * 6)} O{visit % 2}",
        "camera_id": f"{text(visit % 3 * 6 + 1)} C{visit % 3}",
        "clamp_id": f"{text(visit % 2 * 12 + 2)} K{visit % 2}",
        "site_id": f"{text(visit + 3)} S{visit}",
        "panel_id": f"{text(visit + 7)} P{visit % (VISITS // 2):03}",
        "make": f"{text(slot % 2 * 9 + 5)} M{slot % 2}",
    }
    return names | {
        "inspected_at": f"2026-{visit * 9 // VISITS + 1:02}-{visit % 28 + 1:02} 10:00:00",
        "panel_location": text(visit) if slot == 8 else "garage",
        "conductor_material": text(visit) if slot == 7 else "copper",
        "ambient_temp": 21.5 if (visit, slot) != (5, 1) else f"21.5 {text(0)}",
        "device_temp": round(21.5 + 2.0 + 28.0 * load**1.6 + ripple + hot, 2),
        "temp_unit": "degC",
        "position": slot if (visit, slot) != (6, 1) else text(6),
        "device_class": "standard" if (visit, slot) != (7, 1) else f"{text(1)}{LONG}",
        "poles": 1,
        "rated_a": 20 if (visit, slot) != (8, 1) else "\x1b[2J=1+1",
        "current_a": round(20 * load, 2),
        "load_minutes": 45,
        "note": LONG if slot in (3, 5) else text(visit + slot),
        f"{text(0)}{text(14)}": text(visit),
        "=1+1": text(slot),
    }


def findings() -> list[dict[str, object]]:
    """Return what an electrician found of the slots that are hot and of some that are not."""
    return [
        {key: row[key] for key in ("inspection_id", "panel_id", "position")}
        | {
            "found_at": str(row["inspected_at"])[:10],
            "finding": "loose_connection" if is_hot else "nothing_found",
            "examined_by_licensed": "yes" if visit % 8 else text(visit),
            "note": f"{text(visit)}{LONG if visit == 0 else ''}",
        }
        for number, row in enumerate(readings())
        for visit, slot in [(number // len(SLOTS), number % len(SLOTS) + 1)]
        for is_hot in [slot in (3, 5) and visit >= VISITS // 2 and visit % 2 == 0]
        if (is_hot and visit % 4 == 0) or slot == 6
    ]


def write(path: Path, rows: list[dict[str, object]]) -> Path:
    """Write rows as an inspector's sheet."""
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    return path
