"""How much stands behind a class's baseline: its readings, and what the prior still decides."""

from __future__ import annotations

from typing import Any

from analytics.opinion.tables import InForce
from analytics.settings import group_prior
from analytics.warehouse import Warehouse

WANTED = 30
"""Readings of a class from which the prior hardly speaks [1]; as the fit's own notice has it."""


def read_knowledge(desk: Warehouse, in_force: InForce) -> dict[tuple[str, bool], dict[str, Any]]:
    """Return for each class, one pole or several, what its baseline was learned from.

    `effective_count` is how many readings at full load would teach the load-driven rise as well as
    the fleet did, the prior left out: (1 / se² − 1 / prior sd²) × variance of one such reading.
    """
    rows = desk.fetch(
        "select device_class, is_multi_pole, gain_k, gain_k_se, noise_k, noise_share "
        "from fitting.group_parameter where channel = 'face' order by all"
    )
    found = {}
    for name, is_multi_pole, gain, error, noise, share in rows:
        prior = group_prior("face", name).gain_k.sd
        precision = 1.0 / error**2 - 1.0 / prior**2 if error > 0 else 0.0
        effective = max(precision, 0.0) * (noise**2 + (share * gain) ** 2)
        found[name, is_multi_pole] = {
            "reading_count": in_force.reading_counts.get((name, is_multi_pole), 0),
            "effective_count": round(effective, 1),
            "prior_share": min(error**2 / prior**2, 1.0),
        }
    return found
