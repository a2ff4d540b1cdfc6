"""Trends of the small fleet, made up by hand: every kind of signal that a page has to name.

No number is computed from another, so that the page cannot be right by computing it too.
"""

from __future__ import annotations

import math

from analytics.notices import Notice
from analytics.trends.records import (
    Counted,
    HabitShare,
    Move,
    Pairs,
    Point,
    Protocol,
    QuarterShare,
    Referral,
    Signal,
    Standing,
    Trends,
    Worse,
)

LAST = "2026Q3"
QUARTERS = ("2025Q4", "2026Q2", LAST)
NAN = math.nan


def trends(*, is_quiet: bool = False) -> Trends:
    """Return the trends up to the last quarter; quiet ones have no signal."""
    return Trends(
        quarter=LAST,
        quarters=tuple(_quarter(name, i) for i, name in enumerate(QUARTERS)),
        moves=_moves(0.3 if is_quiet else 0.036),
        points=tuple(_points()),
        standings=tuple(_standings()),
        pairs=(
            Pairs("2026Q2", 3, 0.1, -0.4, 0.6, ()),
            Pairs(LAST, 7, -0.25, -0.75, 0.25, (Worse("p9", 4, "standard", 120, 5.0, 0.012),)),
        ),
        protocols=(Protocol("N1", LAST, 10, 80, 9, 21.0, 8, 1, 0, 12, 3),),
        habits=tuple(_habits()),
        referrals=(Referral(LAST, "a", 2, 1, 1, 0, 0, 0, 0, 9.0, 12.0),
                   Referral(LAST, "b", 1, 0, 0, 0, 0, 0, 0, None, None)),
        signals=() if is_quiet else tuple(_signals()),
        tested_count=40,
        notices=(Notice("few_quarters", "A change needs three quarters or more to show.", {}),),
    )  # fmt: skip


def _quarter(name: str, place: int) -> QuarterShare:
    flagged = Counted(1 + place, 12, 0.01, 0.5, 0.0, 0.3 + 0.05 * place, False)
    return QuarterShare(name, 12, flagged, Counted(2, 12, 0.04, 0.45, 0.0, 0.4, place == 2))


def _moves(over: float) -> tuple[Move, ...]:
    """Return the moves; `over` is the q-value of the overloads' fall."""
    looks = ("the last quarter", "the same quarter last year", "a quarter, over all quarters")
    return (
        *(Move("flagged", one, 0.02, -0.01, 0.05, 0.21, 24, 0.21) for one in looks),
        *(Move("overload", one, -0.03, -0.055, -0.005, 0.018, 24, over) for one in looks),
    )


def _points() -> list[Point]:
    """Cameras, inspectors, offices and makes; camera C2 is 3 K off from 2026Q2 on."""
    made = []
    for subject, names in (
        ("camera", ("C1", "C2", "C10")),
        ("inspector", ("N1", "N2", "N3", "N4")),
        ("office", ("a", "b")),
        ("make", ("Corvane", "Ostrel", "Tamridge")),
    ):
        for i, name in enumerate(names):
            for place, quarter in enumerate(QUARTERS):
                off = 3.0 if name == "C2" and place else 0.1 * (i - 1)
                size = 0.01 * (i - 1) if subject == "make" else off
                error = 0.02 if subject == "make" else 0.3
                known = place > 0
                made.append(
                    Point(
                        subject, name, quarter, 12 + i, size, size if known else NAN,
                        error if known else NAN, size, error, size / error if known else NAN,
                        size / error if known else NAN, 0.0, 0.0,
                        3.5 * error if known else NAN, 0.1 if subject == "make" else 2.0,
                    )
                )  # fmt: skip
    return made


def _standings() -> list[Standing]:
    made = []
    for subject, names in (
        ("camera", ("C1", "C2", "C10")),
        ("inspector", ("N1", "N2", "N3", "N4")),
        ("office", ("a", "b")),
        ("make", ("Corvane", "Ostrel", "Tamridge")),
    ):
        for measure in ("flagged", "overload"):
            for i, name in enumerate(names):
                expected, hits = 0.5 + 4.0 * i, 1 + 4 * i
                limits = (NAN, NAN) if i == 0 else (0.1 * i, 3.0 - 0.4 * i)
                made.append(
                    Standing(
                        subject, name, LAST, measure, 40 + 10 * i, hits, expected,
                        hits / expected, 0.4, 2.2, 0.05, 0.02, 0.11, 0.02, *limits,
                    )
                )  # fmt: skip
    return made


def _habits() -> list[HabitShare]:
    return [
        HabitShare(measure, name, LAST, hits, 10, 0.05 * hits, min(1.0, 0.1 * hits + 0.1))
        for measure, counts in (
            ("ambient", (9, 1, 2, 1)),
            ("clamped", (2, 8, 9, 8)),
            ("minutes", (8, 9, 9, 10)),
            ("settled", (1, 0, 1, 0)),
        )
        for name, hits in zip(("N1", "N2", "N3", "N4"), counts, strict=True)
    ]


def _signal(
    subject: str, name: str, measure: str, against: str, words: str, *, is_new: bool = True,
    quarter: str = LAST,
) -> Signal:  # fmt: skip
    return Signal(
        subject=subject,
        level_name=name,
        quarter=quarter,
        measure=measure,
        against=against,
        size=3.0,
        low=2.4,
        high=3.6,
        unit="K",
        count=13,
        counted="inspections",
        chance=0.004,
        sureness="very likely",
        since=quarter,
        is_new=is_new,
        sentence=f"{subject.capitalize()} {name} {words} ({quarter}).",
        brief=f"{subject} {name} {words}",
        held_since=quarter if is_new else "2026Q2",
        held_count=1 if is_new else 2,
    )


def _signals() -> list[Signal]:
    past, others = "its own past", "the others"
    return [
        _signal("camera", "C2", "deviation", past, "reads 5.4 °F warmer", quarter="2026Q2"),
        _signal("camera", "C2", "deviation", past, "reads 5.4 °F warmer", is_new=False),
        _signal("firm", "the whole firm", "flagged", past, "has 1.6 times as many flagged"),
        _signal("firm", "the whole firm", "overload", "the last quarter", "has 3 points fewer"),
        _signal("inspector", "N1", "ambient", others, "noted the same air in 9 of 10"),
        _signal("inspector", "N1", "clamped", others, "clamped 2 of 10 warm devices"),
        _signal("make", "Tamridge", "heat", others, "runs 30 % hotter"),
        _signal("office", "b", "overload", others, "has twice as many over the limit"),
    ]
