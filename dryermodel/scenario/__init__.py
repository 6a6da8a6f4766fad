"""What a person writes down, checked and turned into the parameters of one cycle."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from dryermodel.scenario.files import shipped_scenarios
    from dryermodel.scenario.model import ResolvedRow, Scenario, load_scenario, scenario_hash
    from dryermodel.scenario.template import new_scenario

__all__ = [
    "ResolvedRow",
    "Scenario",
    "load_scenario",
    "new_scenario",
    "scenario_hash",
    "shipped_scenarios",
]
_MODULES = {"shipped_scenarios": "files", "new_scenario": "template"}


def __getattr__(name: str) -> Any:
    """Import the scenario's names on first use, so that importing the package stays cheap."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_MODULES.get(name, 'model')}"), name)
