"""Turns the bundle of the second opinion into the tables that the page's scripts look up."""

from __future__ import annotations

import base64
import datetime as dt
import struct
from collections import defaultdict
from typing import Any

from analytics.columns import DEVICE_CLASSES
from analytics.opinion.knowledge import WANTED
from analytics.opinion.remarks import neighbours_assumed
from analytics.opinion.words import kind
from dashboards.pocket import form
from dashboards.pocket.page import PocketPage

Rows = list[dict[str, Any]]
GROUP_NUMBERS = (
    "exponent",
    "gain_k",
    "gain_k_se",
    "offset_k",
    "offset_k_se",
    "floor_slope",
    "noise_k",
    "noise_share",
)
MIXTURE_NUMBERS = (
    "working_share",
    "freedom",
    "temper",
    "tail_scale",
    "ratios",
    "weights",
    "fault_weights",
    "channel_correlation",
    "terminal_share",
    "face_per_terminal",
    "terminal_per_face",
)


def pocket_page(bundle: dict[str, Any]) -> PocketPage:
    """Return the page of a bundle (`analytics.opinion.bundle`)."""
    tables = {name: rows(columns) for name, columns in bundle["tables"].items()}
    ladders = _camel(bundle["ladders"])
    fitted = dt.date.fromisoformat(bundle["baseline_fitted_at"][:10])
    known = {(one["device_class"], one["is_multi_pole"]): one for one in bundle["knowledge"]}
    return PocketPage(
        tables={
            "groups": _groups(tables),
            "minutes": _minutes(tables["minute_factor"]),
            "shelters": _shelters(tables),
            "mixtures": _mixtures(tables["mixture"]),
            "notice": _notice(tables["notice"], ["shared", *bundle["own_lines"]]),
            "warm": _warm(tables["warm_share"]),
            "ranks": _ranks(tables),
            "fitted": {
                "visitVariance": bundle["parameters"]["visit_variance"],
                "exponentSd": bundle["parameters"]["exponent_sd"],
                "floorK": bundle["parameters"]["floor_k_default"],
                "floorRangeK": bundle["floor_range_k"],
                "floorVarianceK2": bundle["floor_variance_k2"],
            },
            "policy": _camel(_shared(bundle["policy"])),
            "own": _own(bundle["own_lines"]),
            "constants": _constants(bundle),
            "limits": _camel(bundle["limits"]),
            "sentences": bundle["sentences"],
            "paragraph": bundle["paragraph"],
            "ladders": {k: _camel(v) if isinstance(v, dict) else v for k, v in ladders.items()},
        },
        makes=_makes(tables["make_level"]),
        notices=_notices(known),
        neighbours_assumed=neighbours_assumed(bundle["is_surround_known"]),
        rank_notice=_rank_notice(bundle["ranks_from_baseline"], bundle["baseline_version"]),
        version=bundle["baseline_version"],
        policy_version=bundle["policy"]["version"],
        fitted_at=fitted.isoformat(),
        fitted_on=f"{fitted.day} {fitted:%B %Y}",
        reading_count=sum(one["reading_count"] for one in known.values()),
    )


def _constants(bundle: dict[str, Any]) -> dict[str, Any]:
    """Return the errors of the instruments and the constants, one name for each."""
    constants = bundle["constants"]
    repeats = {
        code: [_camel_word(error) for error in errors]
        for code, errors in constants["repeats"].items()
    }
    return {**_camel({**bundle["errors"], **constants}), "repeats": repeats}


def rows(columns: dict[str, list[Any]]) -> Rows:
    """Return the rows of a table that came as columns."""
    return [dict(zip(columns, row, strict=True)) for row in zip(*columns.values(), strict=True)]


def poles(is_multi_pole: bool) -> str:
    """Return the word for one pole or several, as in the scripts' keys."""
    return "several" if is_multi_pole else "one"


def _group_key(row: dict[str, Any]) -> str:
    return f"{row['channel']} {row['device_class']} {poles(row['is_multi_pole'])}"


def _camel(record: dict[str, Any]) -> dict[str, Any]:
    """Name things as the scripts do: `flag_lift_k` becomes `flagLiftK`."""
    return {_camel_word(key): value for key, value in record.items()}


def _camel_word(name: str) -> str:
    first, *rest = name.split("_")
    return first + "".join(word.title() for word in rest)


def _groups(tables: dict[str, Rows]) -> dict[str, Any]:
    keys = {row["group_id"]: _group_key(row) for row in tables["group_level"]}
    groups: dict[str, Any] = {}
    for row in tables["group_parameter"]:
        numbers = _camel({name: row[name] for name in GROUP_NUMBERS})
        groups[keys[row["group_id"]]] = {
            **numbers,
            "surroundK": 0.0,
            "surroundVarianceK2": 0.0,
            "cells": [],
            "makes": [],
            "ratings": [],
        }
    for row in tables["surround"]:
        around = {name: row[name] for name in ("surround_k", "surround_variance_k2")}
        groups[keys[row["group_id"]]].update(_camel(around))
    for row in sorted(tables["cell"], key=lambda r: r["load_band"]):
        limits = [row[name] for name in ("center", "scale", "lower", "upper")]
        groups[keys[row["group_id"]]]["cells"].append(limits)
    makes = {row["make_id"]: row for row in tables["make_effect"]}
    for row in tables["make_level"]:
        effect = makes[row["make_id"]]
        effects = [row["make"], effect["offset_k"], effect["gain_share"]]
        groups[_group_key(row)]["makes"].append(effects)
    ratings = {row["rating_id"]: row["gain_share"] for row in tables["rating_effect"]}
    for row in tables["rating_level"]:
        groups[_group_key(row)]["ratings"].append([row["rated_a"], ratings[row["rating_id"]]])
    return groups


def _minutes(found: Rows) -> dict[str, list[list[float]]]:
    bands: dict[str, list[list[float]]] = defaultdict(list)
    for row in sorted(found, key=lambda r: (r["channel"], r["minute_band"])):
        bands[row["channel"]].append([row["factor"], row["spread_factor"]])
    return dict(bands)


def _shelters(tables: dict[str, Rows]) -> dict[str, list[float]]:
    factors = {row["shelter_id"]: row["factor"] for row in tables["shelter_factor"]}
    found: dict[str, list[float]] = defaultdict(list)
    order = sorted(tables["shelter_level"], key=lambda r: r["shelter_level"])
    for row in order:
        found[f"{row['channel']} {row['pole_family']}"].append(factors[row["shelter_id"]])
    return dict(found)


def _mixtures(found: Rows) -> dict[str, Any]:
    return {
        f"{row['pole_family']} {'working' if row['is_working'] else 'idle'}": _camel(
            {name: row[name] for name in MIXTURE_NUMBERS}
        )
        for row in found
    }


def _notice(found: Rows, places: list[str]) -> dict[str, list[list[float]]]:
    """Return thresholds by bin of size, then of spread, both from the lowest bin on.

    For the shared lines, and for each class that has its own; `places` names them in order.
    """
    bins: dict[str, dict[int, dict[int, float]]] = {name: defaultdict(dict) for name in places}
    for row in found:
        place = bins[places[row["own_place"]]]
        place[row["size_bin"]][row["spread_bin"]] = round(row["threshold_z"], 9)
    return {
        name: [[line[spread] for spread in sorted(line)] for _, line in sorted(sizes.items())]
        for name, sizes in bins.items()
    }


def _shared(policy: dict[str, Any]) -> dict[str, Any]:
    """Return the lines of a policy that hold for all classes."""
    return {key: value for key, value in policy.items() if key not in ("version", "own")}


def _own(lines: dict[str, dict[str, float]]) -> dict[str, Any]:
    """Return the lines of each class that has its own, named as the shared ones."""
    return {
        name: _camel({f"flag_{key}": value for key, value in one.items()})
        for name, one in lines.items()
    }


def _warm(found: Rows) -> dict[str, float]:
    return {
        f"{row['device_class']} {poles(row['is_multi_pole'])} {row['warm_band']}": row[
            "suspect_share"
        ]
        for row in found
    }


def _ranks(tables: dict[str, Rows]) -> dict[str, Any]:
    """Return for each class, poles and load band its size and its points, hottest first.

    Residuals are kept to the last bit, as little-endian doubles in base64; counts as steps.
    """
    keys = {
        row["group_id"]: f"{row['device_class']} {poles(row['is_multi_pole'])}"
        for row in tables["group_level"]
    }
    cells: dict[tuple[int, int], Rows] = defaultdict(list)
    for row in tables["rank_point"]:
        cells[row["group_id"], row["load_band"]].append(row)
    return {f"{keys[group]} {band}": _cell(cells[group, band]) for group, band in sorted(cells)}


def _cell(points: Rows) -> dict[str, Any]:
    hottest = sorted(points, key=lambda row: -row["z"])
    counts = [row["at_least_count"] for row in hottest]
    packed = struct.pack(f"<{len(hottest)}d", *(row["z"] for row in hottest))
    return {
        "count": hottest[0]["cell_count"],
        "z": base64.b64encode(packed).decode("ascii"),
        "steps": [now - before for before, now in zip([0, *counts], counts, strict=False)],
    }


def _makes(levels: Rows) -> dict[str, list[str]]:
    """Return the makes that the baseline knows of each class, by name."""
    found: dict[str, set[str]] = defaultdict(set)
    for row in levels:
        if row["channel"] == "face" and row["make"] != form.UNNOTED:
            found[f"{row['device_class']} {poles(row['is_multi_pole'])}"].add(row["make"])
    return {key: sorted(names) for key, names in sorted(found.items())}


def _notices(known: dict[tuple[str, bool], dict[str, Any]]) -> dict[str, list[str]]:
    """Return what is to be said of how much each class was learned from, one pole and several.

    A class that an older baseline does not know has its say in the verdict's own reason.
    """
    return {
        name: [
            _notice_words(kind(name, is_multi_pole), known[name, is_multi_pole])
            if (name, is_multi_pole) in known
            else ""
            for is_multi_pole in (False, True)
        ]
        for name in DEVICE_CLASSES
    }


def _notice_words(name: str, known: dict[str, Any]) -> str:
    """Say what `analytics.opinion.remarks` says; a test holds the two together."""
    count, effective = known["reading_count"], known["effective_count"]
    if count == 0:
        return (
            f"No reading of this class ({name}) has been clamped yet: what is known of such "
            "devices in general answers alone."
        )
    if min(count, effective) < WANTED:
        return (
            f"Learned from {count:,} readings of its class ({name}), worth {round(effective):,} at "
            f"full load; {WANTED} are wanted: what is known of such devices in general speaks with "
            "them."
        )
    return ""


def _rank_notice(ranked_by: str | None, version: str) -> str:
    """Return what is to be said of the ranks; nothing where they are the baseline's own."""
    if ranked_by is None:
        return "Nothing to rank it among before the first loadrise screen."
    if ranked_by == version:
        return ""
    return f"It is ranked among readings judged by the older baseline {ranked_by}."
