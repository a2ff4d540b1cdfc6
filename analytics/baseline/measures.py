"""The measures: readings as rises beside what surrounds them, made anew where readings changed."""

from __future__ import annotations

import hashlib

from analytics import querybook
from analytics.settings import BaselineSettings
from analytics.warehouse import Warehouse


def prepare_measures(warehouse: Warehouse, settings: BaselineSettings) -> None:
    """Build the tables of the stage `normalise` from the readings in the store."""
    warehouse.drop("normalise.basis")
    for name in ("visit", "mark", "reading"):
        warehouse.build(f"normalise.{name}")
    warehouse.build("normalise.cool_pool", cool_share=settings.cool_share)
    warehouse.build("normalise.slot")
    warehouse.build("normalise.measure", neighbour_cap_k=settings.neighbour_cap_k)


def renew_measures(warehouse: Warehouse, settings: BaselineSettings) -> bool:
    """Do the same, unless readings, settings and queries are those of the last time.

    Return whether the measures were made anew: a screening right after a fit has them already. Call
    it inside a transaction.
    """
    maker = _maker(settings)
    now = warehouse.rows("normalise.basis", maker=maker)
    had = warehouse.has_table("normalise.basis") and warehouse.fetch("from normalise.basis")
    if had == now:
        return False
    prepare_measures(warehouse, settings)
    warehouse.build("normalise.basis", maker=maker)
    return True


def _maker(settings: BaselineSettings) -> str:
    """Return a hash of all that makes measures of readings."""
    texts = [text for folder in ("macros", "normalise") for _, text in querybook.statements(folder)]
    text = "\n".join([f"{settings.cool_share!r} {settings.neighbour_cap_k!r}", *texts])
    return hashlib.sha256(text.encode()).hexdigest()[:16]
