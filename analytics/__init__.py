"""Loadrise: how warm a device usually runs at its load, and which run out of proportion."""

__version__ = "0.1.0"
