"""An invented firm's infrared-scan records as it would keep them, with the truth behind them."""

from synthetic_data.spec import Scenario, ScenarioError, load
from synthetic_data.world import simulate
from synthetic_data.write import FleetSummary, generate

__all__ = ["FleetSummary", "Scenario", "ScenarioError", "generate", "load", "simulate"]
