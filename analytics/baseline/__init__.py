"""The baseline: how warm is usual for a class at its load, fitted in passes over the store."""

from analytics.baseline.measures import prepare_measures, renew_measures
from analytics.baseline.record import BaselineSummary, fit, take_up

__all__ = ["BaselineSummary", "fit", "prepare_measures", "renew_measures", "take_up"]
