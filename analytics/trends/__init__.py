"""Trends: what changes from quarter to quarter, who or what stands apart, and how sure that is."""

from analytics.trends.collect import collect
from analytics.trends.records import Signal, Trends

__all__ = ["Signal", "Trends", "collect"]
