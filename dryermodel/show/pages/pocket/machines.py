"""The machines and loads of the page: parameters of the shipped scenarios, what may be changed on them."""

from __future__ import annotations

from typing import Any

from dryermodel.cycle.reasons import EndReason
from dryermodel.scenario.convert import DAMP, pieces
from dryermodel.scenario.files import shipped_scenarios
from dryermodel.scenario.model import Scenario, load_scenario
from dryermodel.show.pages.shared.sliders import Control, control_data, figure_data

FIRST = "standard"
"""The machine that the page opens with."""

FIGURES = (
    "cycle_time",
    "time_to_marked",
    "final_moisture",
    "wettest_final_moisture",
    "burner_time",
    "burner_cycles",
    "timer_time",
    "high_limit_trips",
    "load_temp_max",
    "mid_drying_exhaust_temp",
    "mid_drying_flow",
    "mid_drying_static",
    "gas_energy",
    "electric_energy",
    "energy_per_water",
)
"""Readings that the page shows of a cycle, in its order."""

PER_WATER = "energy_per_water"


CONTROLS = (
    Control("load.dry_mass", "load, bone dry", 1.0, 20.0, 0.5, "lb", "kg"),
    Control("load.initial_moisture", "water from the washer, of the dry load", 20.0, 110.0, 1.0, "%", "%"),
    Control("room.temperature", "room", 30.0, 110.0, 1.0, "degF", "degC"),
    Control("room.relative_humidity", "relative humidity of the room", 5.0, 95.0, 1.0, "%", "%"),
    Control("vent.length", "vent, straight duct", 0.0, 100.0, 1.0, "ft", "m"),
    Control("vent.elbows", "elbows in the vent", 0.0, 10.0, 1.0, "", ""),
)
"""What may be changed on every machine; all else is as its scenario has it."""


def machines(own: Scenario | None = None) -> list[dict[str, Any]]:
    """Return every shipped scenario for the page, the one it is made for first.

    Parameters
    ----------
    own : Scenario, optional
        For which it is made; the usual one by default.
    """
    first = FIRST if own is None else own.name
    names = sorted(shipped_scenarios(), key=lambda name: (name != first, name != FIRST, name))
    found = [machine(load_scenario(name), name) for name in names]
    return found if own is None or own.name in names else [machine(own, own.name), *found]


def machine(scenario: Scenario, name: str) -> dict[str, Any]:
    """Return one machine with its load.

    Parameters
    ----------
    scenario : Scenario
        Its faults are left out.
    name : str
        By which the command line knows it.
    """
    sound = scenario.with_faults({})
    model = sound.model
    return {
        "name": name,
        "title": sound.title,
        "parameters": sound.to_parameters()._asdict(),
        "values": {control.key: float(sound.value(control.key)) for control in CONTROLS},
        "pieces": [piece.name for piece in pieces(model)],
        "elbowLoss": model.vent.elbow_loss,
        "hoodLoss": model.vent.hood_loss,
        "ownLoadTemperature": model.load.temperature is not None,
    }


def controls() -> list[dict[str, Any]]:
    """Return the sliders, with their bounds [SI] as a scenario file admits them."""
    return [control_data(control) for control in CONTROLS]


def figures() -> list[dict[str, Any]]:
    """Return what is shown of a cycle: name, words, column of the outcome and units."""
    return [figure_data(name) for name in FIGURES]


def endings() -> dict[str, str]:
    """Return why a cycle ended, in words, by the engine's code."""
    return {str(reason.code): reason.value for reason in EndReason}


def damp() -> float:
    """Return the least moisture [kg/kg] of a piece that a slider makes drier."""
    return DAMP
