"""The baseline: how warm is usual for a class at its load, fitted in passes over the store."""

from analytics.baseline.fit import prepare_measures
from analytics.baseline.record import BaselineSummary, fit, take_up

__all__ = ["BaselineSummary", "fit", "prepare_measures", "take_up"]
