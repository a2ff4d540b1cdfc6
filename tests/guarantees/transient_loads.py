"""Visits, loads and faults of the invented fleet: who came when, what was on, what was loose."""

from __future__ import annotations

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from tests.guarantees.transient_layout import (
    CIRCUITS,
    LOCATIONS,
    MAIN,
    MONITOR,
    NAMES,
    SURGE,
    Codes,
)
from tests.guarantees.transient_parts import POLES, Array, Schedule

QUARTERS = 8
FIRST_DAY = pd.Timestamp("2024-01-01")
HEAVY = ("kitchen", "room_heater", "range", "dryer", "water_heater", "vehicle", "wall_heater")
UNEQUAL = ("range", "dryer", "feeder")  # part of the load sits between one leg and neutral
# place -> yearly mean and swing of the air [degC], mean and spread of the wall over it [K]
CLIMATE = {
    "basement": (18.5, 2.0, -1.5, 1.2), "garage": (14.0, 10.0, -0.5, 2.0),
    "utility": (21.0, 1.5, 0.0, 0.8), "outdoor": (12.0, 12.0, 1.0, 3.0),
    "attic": (20.0, 12.0, 3.0, 3.0), "other": (21.0, 2.0, 0.0, 0.8),
}  # fmt: skip


def draw_staff(rng: np.random.Generator) -> pd.DataFrame:
    """Return the inspectors with their offices, instruments and habits."""
    count = 12
    return pd.DataFrame(
        {
            "inspector_id": [f"I{n:02d}" for n in range(1, count + 1)],
            "office": np.arange(count) % 4,
            "camera": np.arange(count),
            "clamp": np.arange(count) % 8,
            "clamps_cool": rng.normal(-0.5, 0.7, count),
            "clamps_warm": rng.uniform(0.3, 0.7, count),
            "skips_minutes": rng.beta(1.2, 6.8, count),
            "wrong_air": rng.beta(1.0, 24.0, count),
            "whole_degrees": np.arange(count) % 6 == 5,
            "typical_minutes": np.exp(rng.normal(np.log(28.0), 0.2, count)),
            "reads_terminal": np.clip(rng.normal(0.25, 0.1, count), 0.05, 0.6),
            "reads_wire": np.clip(rng.normal(0.15, 0.07, count), 0.03, 0.5),
        }
    )


def draw_visits(
    rng: np.random.Generator, count: int, panels: pd.DataFrame, staff: pd.DataFrame
) -> pd.DataFrame:
    """Return one row a panel visit: date, people, weather, minutes under load.

    Panels beyond `len(panels)` are second visits of an earlier one; one house in twelve has two
    panels scanned on one visit.
    """
    first = len(panels)
    source = np.r_[np.arange(first), np.sort(rng.integers(0, first, count - first))]
    share = (np.arange(count) + rng.random(count)) / first
    early = share[source[first:]]
    share[first:] = early + (1.0 - early) * rng.uniform(0.2, 1.0, count - first)
    share = np.clip(share, 0.0, 0.9999)
    second = (np.arange(count) % 12 == 11) & (np.arange(count) < first)
    lead = np.arange(count) - second
    share = share[lead]
    day = np.floor(share * 730).astype(int)
    person = rng.integers(0, len(staff), count)[lead]
    hour, minute = rng.integers(8, 18, count)[lead], rng.integers(0, 12, count)[lead] * 5
    when = FIRST_DAY + pd.to_timedelta(day, unit="D") + pd.to_timedelta(hour, unit="h")
    frame = panels.iloc[source].reset_index(drop=True)
    people = staff.iloc[person].reset_index(drop=True)
    swapped = rng.random(count)[lead] < 0.1
    people["camera"] = np.where(swapped, 12 + rng.integers(0, 2, count)[lead], people["camera"])
    frame = frame.assign(
        source=source,
        inspection=lead,
        site=source - second[source],
        inspected_at=when + pd.to_timedelta(minute, unit="min"),
        quarter=np.minimum(day * QUARTERS // 730, QUARTERS - 1),
    )
    return pd.concat([frame, people, _weather(rng, frame, day, people)], axis=1)


def _weather(
    rng: np.random.Generator, visits: pd.DataFrame, day: Array, people: pd.DataFrame
) -> pd.DataFrame:
    count = len(visits)
    season = np.sin(2 * np.pi * (np.mod(day, 365) - 110) / 365)
    place = visits["panel_location"].to_numpy()
    mean, swing, wall, spread = np.array([CLIMATE[name] for name in place]).T
    office = np.array((-4.0, 0.0, 3.0, 7.0))[people["office"].to_numpy()]
    room = mean + swing * season + office * (swing > 5) + rng.normal(0, 2.2, count)
    sun = np.where((place == LOCATIONS[3]) & (rng.random(count) < 0.5), 45.0, 0.0)
    minutes = people["typical_minutes"].to_numpy() * np.exp(rng.normal(0, 0.4, count))
    hasty = rng.random(count) < 0.05
    return pd.DataFrame(
        {
            "room_degc": room,
            "wall_k": rng.normal(wall, spread),
            "sun_w": sun * rng.random(count),
            "leak_open": 0.07 * visits["slots"] * np.exp(rng.normal(0, 0.25, count)),
            "minutes": np.clip(np.where(hasty, rng.uniform(3, 10, count), minutes), 3, 110),
            "open_minutes": rng.uniform(3, 12, count),
        }
    )


def draw_faults(
    rng: np.random.Generator, devices: pd.DataFrame, visits: pd.DataFrame, share: float, rise: float
) -> pd.DataFrame:
    """Add faults in multiples of the pole's own resistance, on one pole of the device.

    `rise` raises the share by that part from the fifth quarter on. A second visit mostly finds
    the fault of the first one still there, and grown.
    """
    rows = len(devices)
    kind, panel = devices["kind"].to_numpy(), devices["panel"].to_numpy()
    heavy = np.isin(kind, [NAMES.index(name) for name in HEAVY])
    weight = np.where(heavy, 1.7, 0.75)
    unloaded = np.isin(kind, (SURGE, MONITOR))
    weight[unloaded] = 0.2
    late = visits["quarter"].to_numpy()[panel] >= QUARTERS // 2
    chance = share * weight / weight.mean() * (1.0 + rise * late)
    has = rng.random(rows) < chance
    inside = rng.random(rows) < np.where(unloaded, 1.0, 0.35)
    terminal_size = np.exp(rng.normal(0.0, 0.9, rows))
    inside_size = np.exp(rng.normal(np.log(0.8), 0.8, rows))
    frame = devices.assign(
        fault_term=np.where(has & ~inside, terminal_size, 0.0),
        fault_body=np.where(has & inside, inside_size, 0.0),
        fault_second=rng.random(rows) < 0.5,
    )
    keys = visits["source"].to_numpy()[panel] * 100 + devices["first"].to_numpy()
    again = panel >= visits["source"].nunique()
    where = pd.Series(np.flatnonzero(~again), index=keys[~again])
    old = where.loc[keys[again]].to_numpy()
    stays = (rng.random(old.size) < 0.6) & has[old]
    new = np.flatnonzero(again)[stays]
    for name in ("fault_term", "fault_body"):
        frame.loc[new, name] = 1.25 * frame[name].to_numpy()[old[stays]]
    frame.loc[new, "fault_second"] = frame["fault_second"].to_numpy()[old[stays]]
    return frame


def _fractions(rng: np.random.Generator, kind: Codes) -> tuple[Array, NDArray[np.bool_]]:
    """Return the load fraction while running and whether the circuit is running."""
    low, high, idle = np.array([(c.low, c.high, c.idle) for c in CIRCUITS])[kind].T
    fraction = low + (high - low) * rng.beta(1.5, 1.8, kind.size)
    luck = rng.random(kind.size)
    fraction = np.where(luck < 0.015, rng.uniform(1.0, 1.2, kind.size), fraction)
    close = (luck >= 0.015) & (luck < 0.035)
    fraction = np.where(close, rng.uniform(0.8, 1.0, kind.size), fraction)
    return fraction, rng.random(kind.size) >= idle


def draw_loads(
    rng: np.random.Generator, devices: pd.DataFrame, visits: pd.DataFrame
) -> pd.DataFrame:
    """Add leg currents [A] before and after the loads came on, and how they switch."""
    kind, rows = devices["kind"].to_numpy(), len(devices)
    panel = devices["panel"].to_numpy()
    fraction, running = _fractions(rng, kind)
    large = fraction * devices["rated_a"].to_numpy()
    small_now, small_before = rng.uniform(0, 0.5, rows), rng.uniform(0, 0.5, rows)
    lucky = rng.random(rows)
    long_on, just_off = running & (lucky < 0.4), running & (lucky > 0.96)
    now = np.where(running & ~just_off, large, small_now)
    before = np.where(long_on | just_off, large, small_before)
    before = np.where(running, before, now)
    before = np.where(kind == SURGE, 0.0, before)
    now = np.where(kind == SURGE, 0.0, now)
    unequal = np.isin(kind, [NAMES.index(name) for name in UNEQUAL]) & (rng.random(rows) < 0.5)
    ratio = np.where(unequal, rng.uniform(0.3, 1.0, rows), rng.uniform(0.97, 1.0, rows))
    swap = rng.random(rows) < 0.5
    single = (devices["poles"] == 1).to_numpy()
    legs = np.where(swap & ~single, ratio, 1.0), np.where(swap | single, 1.0, ratio)
    cycling = running & (rng.random(rows) < np.array([c.cycling for c in CIRCUITS])[kind])
    minutes = visits["minutes"].to_numpy()[panel] + rng.normal(0, 2.5, rows) * (kind != MAIN)
    frame = devices.assign(
        duty=np.where(cycling, rng.uniform(0.4, 0.95, rows), 1.0),
        period_min=rng.uniform(6.0, 25.0, rows),
        on_minutes=np.clip(minutes, 1.0, 118.0),
        is_long_on=long_on,
        **{
            f"{when}_{leg}_a": share * amps
            for when, amps in (("before", before), ("now", now))
            for leg, share in zip(("first", "second"), legs, strict=True)
        },
    )
    return _feed_mains(frame, len(visits))


def _leg_sums(devices: pd.DataFrame, when: str, count: int) -> Array:
    """Return the current [A] of each leg of the panel, [leg, panel], mains left out."""
    legs = np.zeros((2, count))
    for leg, least in (("first", 1), ("second", 2)):
        rows = devices[(devices["kind"] != MAIN) & (devices["poles"] >= least)]
        side = (rows[leg].to_numpy() + 1) // 2 % 2  # stabs alternate between legs row by row
        np.add.at(legs, (side, rows["panel"].to_numpy()), rows[f"{when}_{leg}_a"].to_numpy())
    return legs


def _feed_mains(devices: pd.DataFrame, count: int) -> pd.DataFrame:
    """Set the currents of the mains to the sums of their legs, loads turned down to fit."""
    frame = devices.copy()
    main = (frame["kind"] == MAIN).to_numpy()
    panel, limit = frame["panel"].to_numpy(), np.empty(count)
    limit[panel[main]] = 0.95 * frame["rated_a"].to_numpy()[main]
    keeps = main | (frame["now_first_a"] > 0.8 * frame["rated_a"]).to_numpy()
    worst = np.maximum(*(_leg_sums(frame, when, count).max(0) for when in ("before", "now")))
    squeeze = np.minimum(1.0, limit / np.maximum(worst, 1e-9))[panel]
    for when in ("before", "now"):
        for leg in ("first", "second"):
            name = f"{when}_{leg}_a"
            frame[name] = np.where(keeps, frame[name], frame[name] * squeeze)
        legs = _leg_sums(frame, when, count)
        frame.loc[main, f"{when}_first_a"] = legs[0, panel[main]]
        frame.loc[main, f"{when}_second_a"] = legs[1, panel[main]]
    return frame


def as_schedule(devices: pd.DataFrame, visits: pd.DataFrame) -> Schedule:
    """Return the pole currents of all visits from the leg currents drawn for the devices."""
    count = len(visits)
    panel, first = devices["panel"].to_numpy(), devices["first"].to_numpy()
    second = devices["second"].to_numpy()

    def legs(one: str, two: str) -> Array:
        grid = np.zeros((POLES, count))
        grid[second, panel] = devices[two]
        grid[first, panel] = devices[one]
        return grid

    def both(name: str) -> Array:
        grid = np.ones((POLES, count))
        grid[first, panel] = devices[name]
        grid[second, panel] = devices[name]
        return grid

    return Schedule(
        before_a=legs("before_first_a", "before_second_a"),
        now_a=legs("now_first_a", "now_second_a"),
        on_minutes=both("on_minutes"),
        duty=both("duty"),
        period_min=both("period_min"),
        open_minutes=visits["open_minutes"].to_numpy(dtype=float),
    )
