"""Who stands for whom: readings of like evidence and load, those of few examined joined."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from analytics.statistics.sourced import Array

Bools = npt.NDArray[np.bool_]
Ints = npt.NDArray[np.int64]

LEAST_EXAMINED = 10
"""Examined devices that a band of evidence or of load needs to stand alone; fewer join the next
lower band; chosen: with ten, a share is known to about ± 30 points."""


def joined(band: Ints, examined: Array) -> Ints:
    """Return bands from the highest down, each joined by the next until enough were examined.

    Takes the band and how many were examined of each row, shape (n,); returns labels from 0.
    """
    merged, count, label = {}, 0.0, 0
    for one in sorted(set(band.tolist()), reverse=True):
        if count >= LEAST_EXAMINED:
            label, count = label + 1, 0.0
        merged[one] = label
        count += float(examined[band == one].sum())
    last = label - 1 if count < LEAST_EXAMINED and label else label
    return np.array([min(merged[one], last) for one in band.tolist()], dtype=np.int64)


def split(label: Ints, load: Ints, examined: Array) -> Ints:
    """Part every label by load, bands of load with few examined joined; labels from 0.

    Inspectors refer what is warm, so the loaded are examined more often; and with little load a
    fault hardly shows, so that among devices of little evidence it is commoner than among the
    loaded. Within a wide band of evidence the examined would else flatter.
    """
    found = np.zeros(len(label), np.int64)
    for one in np.unique(label).tolist():
        own = label == one
        found[own] = found.max() + 1 + joined(load[own], examined[own])
    return np.unique(found, return_inverse=True)[1].astype(np.int64)


def joined_sides(is_flagged: Bools, band: Ints, load: Ints, examined: Array) -> Ints:
    """Return labels of the flagged and of the rest, parted by joined evidence, then by load.

    The more evidence, the more often a fault, and perhaps the more often examined; so too where a
    policy came into force later than the findings.
    """
    label = np.zeros(len(band), np.int64)
    for side in (is_flagged, ~is_flagged):
        label[side] = joined(band[side], examined[side])
    return split(2 * label + is_flagged, load, examined)
