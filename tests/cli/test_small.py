"""The smallest stores: a few readings, one class, a class never clamped. Numbers chosen."""

from __future__ import annotations

from pathlib import Path

import pytest

from analytics.baseline import fit
from analytics.screening import screen
from analytics.warehouse import open_store
from dashboards.pages.quarter import page
from dashboards.quarter import collect
from dashboards.render import render
from tests.ingest.desk import GOOD, take, write

Rows = list[dict[str, object]]


def readings(count: int, **common: object) -> Rows:
    """Return readings of eight devices a panel whose heat follows their current."""
    rows: Rows = []
    for number in range(count):
        amps = number * 7 % 16 + 1
        visit = {"inspection_id": f"V{number // 8}", "panel_id": f"P{number // 8}"}
        device = {"position": number % 8 + 1, "current_a": amps}
        heat = {"device_temp": round(74 + 0.2 * amps**1.7, 1)}
        rows.append(GOOD | visit | device | heat | common)
    return rows


def never_clamped(rows: Rows) -> Rows:
    """Make every fourth device an AFCI without a current."""
    return [
        row | {"device_class": "afci", "current_a": ""} if number % 4 == 0 else row
        for number, row in enumerate(rows)
    ]


@pytest.mark.parametrize(
    ("rows", "clamped"),
    [
        (readings(1), 1),
        (readings(5), 5),
        (readings(5, current_a="0", device_temp="75"), 5),
        (readings(100), 100),
        (never_clamped(readings(100)), 75),
    ],
    ids=["one", "five", "five idle", "one class", "a class never clamped"],
)
def test_a_small_store_gives_verdicts_and_a_page(tmp_path: Path, rows: Rows, clamped: int) -> None:
    with open_store(tmp_path / "firm.duckdb") as warehouse:
        take(warehouse, write(tmp_path / "a.csv", rows))
        assert f"{clamped} clamped" in fit(warehouse).lines()[0]
        screen(warehouse)
        verdicts = dict(
            warehouse.fetch("select verdict, count(*) from screening.result group by verdict")
        )
        assert sum(verdicts.values()) == len(rows)
        assert verdicts.get("cannot_judge", 0) >= len(rows) - clamped
        text = render(page(collect(warehouse, "2026Q1"), "degF"))
    assert "qualified persons only" in text
