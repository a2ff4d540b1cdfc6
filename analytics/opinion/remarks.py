"""What the reader of an opinion should know of what it rests on."""

from __future__ import annotations

from typing import Any

from analytics.opinion.knowledge import WANTED
from analytics.opinion.reading import Reading, shown_rise
from analytics.opinion.tables import InForce
from analytics.opinion.words import kind

Row = dict[str, Any]

FLOOR_DECIDES = (
    "First read the panel's coolest breaker: the verdict hangs on how warm the panel is."
)
FLOOR_MAY_TURN = "one in ten or more that the coolest breaker, which was not read, turns it"
"""What a verdict that hangs on the floor says of its chance: the ends tried are those of one panel
in ten below and above."""
COOL_AS_AIR = "It is as cool as the air, within the limits of error of two readings."


def remarks(reading: Reading, row: Row, in_force: InForce, known: Row) -> list[Row]:
    """Return the notices of one opinion: code and sentence."""
    found = [*_knowledge(row, known), *_ranks(in_force), *_levels(reading, row)]
    if row["rise_k"] < 0:
        found.insert(0, ("cool_as_air", COOL_AS_AIR))
    if hangs_on_floor(row):
        found.insert(0, ("floor_decides", FLOOR_DECIDES))
    if row["inspection_id"] == "typed":
        found += _alone(reading, in_force)
    return [{"code": code, "sentence": sentence} for code, sentence in found]


def hangs_on_floor(row: Row) -> bool:
    """Tell whether a floor that was not read, low or high as panels go, would turn the verdict.

    Not asked of a reading beyond what its standard allows: that is left alone.
    """
    if row["beyond"] is not None:
        return False
    ends = (row[end]["verdict"] for end in ("floor_low", "floor_high") if end in row)
    return any(verdict != row["verdict"] for verdict in ends)


def _knowledge(row: Row, known: Row) -> list[tuple[str, str]]:
    name = kind(row["device_class"], row["is_multi_pole"])
    count, effective = known["reading_count"], known["effective_count"]
    if not count:
        return [
            (
                "prior_only",
                f"No reading of this class ({name}) has been clamped yet: what is known of such "
                "devices in general answers alone.",
            )
        ]
    if min(count, effective) < WANTED:
        return [
            (
                "few_readings",
                f"Learned from {count:,} readings of its class ({name}), worth "
                f"{round(effective):,} at full load; {WANTED} are wanted: what is known of such "
                "devices in general speaks with them.",
            )
        ]
    return []


def _ranks(in_force: InForce) -> list[tuple[str, str]]:
    if in_force.screened is None:
        return [("not_screened", "Nothing to rank it among before the first loadrise screen.")]
    if not in_force.is_ranked:
        older = in_force.screened[0]
        return [
            ("ranks_older", f"It is ranked among readings judged by the older baseline {older}.")
        ]
    if not in_force.is_noticed:
        sentence = (
            f"The policy {in_force.policy.version} judges here and has not been screened with yet: "
            f"stored verdicts and pages are of {in_force.screened[1]}. Run loadrise screen."
        )
        return [("unscreened_policy", sentence)]
    return []


def _levels(reading: Reading, row: Row) -> list[tuple[str, str]]:
    found = []
    if reading.make and row["is_make_known"] is False:
        found.append(("make_unknown", f"The make {reading.make} is new: taken as a usual one."))
    if row["is_rating_known"] is False and row["load_fraction"] is not None:
        rated = f"{reading.rated_a:g} A"
        found.append(
            ("rating_unknown", f"No {rated} device of its class yet: taken as a usual one.")
        )
    return found


def _alone(reading: Reading, in_force: InForce) -> list[tuple[str, str]]:
    found = []
    if reading.floor_degc is None:
        usual = shown_rise(in_force.parameters["floor_k_default"], reading.unit)
        sentence = f"The panel's coolest breakers were not read: taken as {usual} over the air."
        found.append(("floor_assumed", sentence))
    if not reading.beside_degc:
        sentence = neighbours_assumed(in_force.is_surround_known)
        found.append(("neighbours_assumed", sentence))
    return found


def neighbours_assumed(is_surround_known: bool) -> str:
    """Say what neighbours that were not read are taken for."""
    taken = (
        "taken as usually warm ones, with a wider band for it"
        if is_surround_known
        else "taken as cool ones"
    )
    return f"Its neighbours were not read: {taken}. A hot one explains some heat."
