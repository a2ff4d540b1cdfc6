"""Who read with which camera: an offset of one that goes with one of the other is told once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from analytics.trends.records import OTHERS, PAST, Trial, Use, quarter_name

if TYPE_CHECKING:
    import pandas as pd

Uses = dict[tuple[str, str], list[Use]]
"""(quarter, what it is compared with) -> who read with what."""
SPANS = {PAST: 1, OTHERS: 4}
"""Quarters that a deviation is taken over [1], by what it is compared with: `drift.LEVEL_SPAN`."""


def uses(inspections: pd.DataFrame) -> Iterator[Use]:
    """Yield who read with which camera in each quarter, and in the year up to it.

    Takes rows of `trends.inspection`.
    """
    own = inspections[["camera", "inspector", "quarter_index"]].dropna()
    for number in sorted(own["quarter_index"].unique()):
        for against, span in SPANS.items():
            late = own[own["quarter_index"].between(number - span + 1, number)]
            counts = late.groupby(["camera", "inspector"]).size()
            cameras, inspectors = late.groupby("camera").size(), late.groupby("inspector").size()
            for (camera, inspector), count in counts.items():
                yield Use(
                    str(camera),
                    str(inspector),
                    quarter_name(int(number)),
                    against,
                    int(count),
                    int(cameras[camera]),
                    int(inspectors[inspector]),
                )


def by_span(found: Iterable[Use]) -> Uses:
    """Return the uses by quarter and what a deviation of it is compared with."""
    grouped: Uses = {}
    for one in found:
        grouped.setdefault((one.quarter, one.against), []).append(one)
    return grouped


def main_user(camera: str, held: Iterable[Use]) -> Use | None:
    """Return who read most with a camera, the first by name of equals; None where nobody did."""
    own = [one for one in held if one.camera == camera]
    return min(own, key=lambda one: (-one.count, one.inspector)) if own else None


def main_camera(inspector: str, held: Iterable[Use]) -> Use | None:
    """Return the camera that somebody read most with, the first by name of equals."""
    own = [one for one in held if one.inspector == inspector]
    return min(own, key=lambda one: (-one.count, one.camera)) if own else None


def joined(found: list[tuple[Trial, float]], held: Uses) -> list[tuple[Trial, float]]:
    """Return the deviations with who read with what; what goes together is told with the camera.

    A camera that one person mostly uses, or a person who mostly uses one camera, cannot be told
    apart where both are off the same way: neither can the person's thermometer.
    """
    gaps = {_key(one) for one, _ in found if one.measure == "deviation"}
    partners: dict[Key, str] = {}
    echoes = set()
    for use in (use for span in held.values() for use in span if use.is_one):
        for is_warm in (True, False):
            camera, person = (
                (subject, name, use.quarter, use.against, is_warm, "deviation")
                for subject, name in (("camera", use.camera), ("inspector", use.inspector))
            )
            if camera in gaps and person in gaps:
                partners[camera] = use.inspector
                echoes.add(person)
    return [
        (replace(one, detail=_words(one, held, partners.get(_key(one), ""))), chance)
        if one.subject in ("camera", "inspector") and one.measure == "deviation"
        else (one, chance)
        for one, chance in found
        if _key(one) not in echoes
    ]


Key = tuple[str, str, str, str, bool, str]


def _key(one: Trial) -> Key:
    return one.subject, one.level_name, one.quarter, one.against, one.size > 0, one.measure


def _words(one: Trial, held: Uses, partner: str) -> str:
    span = held.get((one.quarter, one.against), [])
    if one.subject == "inspector":
        use = main_camera(one.level_name, span)
        return inspector_words(use) if use else ""
    use = main_user(one.level_name, span)
    if use is None:
        return ""
    return camera_words(use, partner)


def camera_words(use: Use, partner: str = "") -> str:
    """Say who used a camera that is off, and what that leaves open."""
    used = f"used it in {use.count:,} of {use.camera_count:,} inspections"
    if partner and partner != use.inspector:
        return (
            f"inspector {partner}, who mostly reads with it, reads apart likewise; check the "
            "thermometer for the air too"
        )
    if partner:
        return (
            f"{partner} {used} and reads apart likewise: it may be the camera, or {partner}’s "
            "thermometer for the air; check both"
        )
    if use.camera_share >= use.MOSTLY:
        return f"{use.inspector} {used}, so the thermometer for the air is to be checked too"
    return f"several people used it, {use.inspector} most, in {use.count:,} of {use.camera_count:,}"


def inspector_words(use: Use) -> str:
    """Say which camera somebody who reads apart used, and what that leaves open."""
    if use.inspector_share >= use.MOSTLY:
        return (
            f"{use.count:,} of these {use.inspector_count:,} inspections were with camera "
            f"{use.camera}, so camera and thermometer are to be checked"
        )
    return (
        "with several cameras, so the thermometer for the air, and where it is read, are to be "
        "checked first"
    )
