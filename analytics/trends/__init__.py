"""Trends: what changes from quarter to quarter, who or what stands apart, and how sure that is."""

from analytics.trends.collect import Study, collect, study
from analytics.trends.records import Signal, Trends

__all__ = ["Signal", "Study", "Trends", "collect", "study"]
