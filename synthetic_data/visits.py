"""Who scanned which panel when, with which camera, in what air and after how many minutes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from synthetic_data.fleet import Bools, Floats, Ints
from synthetic_data.spec import Scenario

Texts = NDArray[np.str_]


@dataclass(frozen=True)
class Visits:
    """One entry a panel visit [visit]; an inspection of a house with two panels has two."""

    inspection: Ints
    quarter: Ints
    at: NDArray[np.datetime64]
    office: Ints
    inspector: Ints  # counted over all offices
    camera: Ints
    site: Ints
    panel: Ints
    is_hasty: Bools
    minutes: Floats

    def __len__(self) -> int:
        return len(self.panel)


@dataclass(frozen=True)
class Air:
    """Temperatures about a visit [°C]: the true air, the thermometer's, what the faces reflect."""

    true_degc: Floats
    noted_degc: Floats
    reflected_degc: Floats


def inspector_names(scenario: Scenario) -> Texts:
    """Return the inspectors' keys, office by office, as “north-1”."""
    return np.array([f"{o.id}-{i + 1}" for o in scenario.offices for i in range(o.inspectors)])


def _times(scenario: Scenario, quarter: Ints, rng: np.random.Generator) -> NDArray[np.datetime64]:
    starts = np.array([f"{q[:4]}-{3 * int(q[5]) - 2:02d}-01" for q in scenario.quarters], "M8[D]")
    days = rng.integers(0, 90, len(quarter)).astype("m8[D]")
    minutes = (rng.integers(8 * 12, 17 * 12, len(quarter)) * 5).astype("m8[m]")
    result: NDArray[np.datetime64] = (starts[quarter] + days).astype("M8[m]") + minutes
    return result


def _is_hasty(scenario: Scenario, inspector: Ints, quarter: Ints) -> Bools:
    names = inspector_names(scenario)[inspector]
    result = np.zeros(len(inspector), bool)
    for hasty in scenario.planted.hasty:
        since = scenario.quarter_index(hasty.from_quarter, 0)
        result |= (names == hasty.inspector) & (quarter >= since)
    return result


def _sites(office: Ints, revisit_share: float, rng: np.random.Generator) -> Ints:
    """Return each inspection's site: a new one, or one that the same office saw before."""
    count = len(office)
    is_new = rng.random(count) >= revisit_share
    pick = rng.random(count)
    site = np.arange(count)
    for key in np.unique(office):
        at = np.flatnonzero(office == key)
        is_new[at[0]] = True
        new = at[is_new[at]]
        before = np.searchsorted(new, at)
        earlier = new[np.floor(pick[at] * np.maximum(before, 1)).astype(int)]
        site[at] = np.where(is_new[at], at, earlier)
    return site


def _panels(site: Ints, second_share: float, rng: np.random.Generator) -> tuple[Ints, Ints]:
    """Return (inspection, panel): a row for each panel of each inspected site, panels by age."""
    panels_of_site = 1 + (rng.random(len(site)) < second_share).astype(np.int64)
    is_first = site == np.arange(len(site))
    first_panel = np.cumsum(panels_of_site * is_first) - panels_of_site * is_first
    repeats = panels_of_site[site]
    inspection = np.repeat(np.arange(len(site)), repeats)
    nth = np.arange(len(inspection)) - np.repeat(np.cumsum(repeats) - repeats, repeats)
    return inspection, first_panel[site][inspection] + nth


def _minutes(is_hasty: Bools, rng: np.random.Generator) -> Floats:
    usual = np.clip(rng.lognormal(np.log(28.0), 0.5, len(is_hasty)), 4.0, 180.0)
    return np.where(is_hasty, rng.uniform(2.0, 6.0, len(is_hasty)), usual)


def plan(scenario: Scenario, rng: np.random.Generator) -> Visits:
    """Draw all visits of a scenario, in order of time."""
    count = scenario.inspections
    quarter = np.sort(rng.integers(0, len(scenario.quarters), count))
    at = _times(scenario, quarter, rng)
    order = np.lexsort((np.arange(count), at))
    quarter, at = quarter[order], at[order]
    shares = np.array([o.share for o in scenario.offices])
    office = rng.choice(len(shares), count, p=shares / shares.sum()).astype(np.int64)
    people = np.array([o.inspectors for o in scenario.offices])
    first = np.cumsum(people) - people
    inspector = first[office] + (rng.random(count) * people[office]).astype(np.int64)
    borrowed = first[office] + (rng.random(count) * people[office]).astype(np.int64)
    camera = np.where(rng.random(count) < 0.1, borrowed, inspector)
    site = _sites(office, scenario.revisit_share, rng)
    inspection, panel = _panels(site, scenario.second_panel_share, rng)
    is_hasty = _is_hasty(scenario, inspector, quarter)
    return Visits(
        inspection=inspection,
        quarter=quarter[inspection],
        at=at[inspection],
        office=office[inspection],
        inspector=inspector[inspection],
        camera=camera[inspection],
        site=site[inspection],
        panel=panel,
        is_hasty=is_hasty[inspection],
        minutes=_minutes(is_hasty, rng)[inspection],
    )


def _season_degc(visits: Visits, rng: np.random.Generator) -> Floats:
    day = (visits.at - visits.at.astype("M8[Y]")).astype("m8[D]").astype(float)
    swing = -11.0 * np.cos(2.0 * np.pi * (day - 20.0) / 365.25)
    result: Floats = 12.0 + swing + rng.normal(0.0, 4.0, len(visits))
    return result


def air(visits: Visits, location: Ints, rng: np.random.Generator) -> Air:
    """Draw the air before each panel and what was noted of it.

    Thermometers err by 0.7 K; a hasty inspector writes 21 °C whatever it is. All chosen.

    Args: location, index into `fleet.LOCATIONS` [visit].
    """
    count = len(visits)
    outside = _season_degc(visits, rng)
    inside = rng.normal(20.5, 1.8, count)
    share_outside = np.array([0.25, 0.6, 0.05, 1.0, 0.8, 0.2])[location]
    true = np.clip(share_outside * outside + (1.0 - share_outside) * inside, -18.0, 42.0)
    people = rng.normal(0.0, 0.25, int(visits.inspector.max()) + 1)
    noted = true + rng.normal(0.0, 0.65, count) + people[visits.inspector]
    reflected = true + rng.normal(0.8, 1.2, count)
    return Air(true, np.where(visits.is_hasty, 21.0, noted), reflected)
