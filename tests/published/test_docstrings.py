"""Every example in a docstring of the statistics runs and prints what it says."""

from __future__ import annotations

import doctest
import importlib
import pkgutil

import pytest

import analytics.statistics

MODULES = [one.name for one in pkgutil.iter_modules(analytics.statistics.__path__)]


@pytest.mark.parametrize("name", MODULES)
def test_examples_run(name: str) -> None:
    module = importlib.import_module(f"analytics.statistics.{name}")
    assert doctest.testmod(module).failed == 0
