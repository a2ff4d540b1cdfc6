"""The baseline: how warm is usual for a class at its load, fitted in passes over the store."""

from analytics.baseline.fit import prepare_measures
from analytics.baseline.record import BASELINE_TABLES, BaselineSummary, fit, read_version, take_up

__all__ = [
    "BASELINE_TABLES",
    "BaselineSummary",
    "fit",
    "prepare_measures",
    "read_version",
    "take_up",
]
