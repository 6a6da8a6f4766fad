"""Thermal time-step model of a vented gas clothes dryer's automatic cycle.

Examples
--------
>>> from dryermodel import load_scenario, simulate
>>> result = simulate(load_scenario("standard"))
>>> result.end.value, round(result.cycle_time / 60)
('timer ran out', 48)
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from dryermodel.cycle.engine.parameters import Parameters
    from dryermodel.cycle.reasons import EndReason
    from dryermodel.cycle.result import CycleResult
    from dryermodel.cycle.run.simulate import run_cycle
    from dryermodel.errors import InputError
    from dryermodel.scenario.model import Scenario, load_scenario
    from dryermodel.scenario.run import simulate

__version__ = "0.1.0"

_HOMES = {
    "CycleResult": "dryermodel.cycle.result",
    "EndReason": "dryermodel.cycle.reasons",
    "InputError": "dryermodel.errors",
    "Parameters": "dryermodel.cycle.engine.parameters",
    "Scenario": "dryermodel.scenario.model",
    "load_scenario": "dryermodel.scenario.model",
    "run_cycle": "dryermodel.cycle.run.simulate",
    "simulate": "dryermodel.scenario.run",
}

__all__ = [
    "CycleResult",
    "EndReason",
    "InputError",
    "Parameters",
    "Scenario",
    "__version__",
    "load_scenario",
    "run_cycle",
    "simulate",
]


def __getattr__(name: str) -> Any:
    """Import public names on first use, so that importing the package stays cheap."""
    if name not in _HOMES:
        raise AttributeError(f"module 'dryermodel' has no attribute {name!r}")
    return getattr(import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    return sorted(__all__)
