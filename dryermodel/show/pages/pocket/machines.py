"""The machines and loads of the page: parameters of the shipped scenarios, what may be changed on them."""

from __future__ import annotations

from typing import Any, NamedTuple

from dryermodel.cycle.reasons import EndReason
from dryermodel.readings.rows import COLUMNS
from dryermodel.scenario.convert import DAMP, pieces
from dryermodel.scenario.files import shipped_scenarios
from dryermodel.scenario.model import Scenario, load_scenario
from dryermodel.show.pages.shared.units import kind_data, unit_data
from dryermodel.studies.sweep.vary import quantity_rule
from dryermodel.vocabulary import READINGS

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


class Control(NamedTuple):
    """One slider of the healthy machine."""

    key: str  # of a scenario file
    words: str
    low: float  # in the trade's unit, as are the next two
    high: float
    step: float
    unit: str  # the trade's
    metric: str


CONTROLS = (
    Control("load.dry_mass", "load, bone dry", 1.0, 20.0, 0.5, "lb", "kg"),
    Control("load.initial_moisture", "water from the washer, of the dry load", 20.0, 110.0, 1.0, "%", "%"),
    Control("room.temperature", "room", 30.0, 110.0, 1.0, "degF", "degC"),
    Control("room.relative_humidity", "relative humidity of the room", 5.0, 95.0, 1.0, "%", "%"),
    Control("vent.length", "vent, straight duct", 0.0, 100.0, 1.0, "ft", "m"),
    Control("vent.elbows", "elbows in the vent", 0.0, 10.0, 1.0, "", ""),
)
"""What may be changed on every machine; all else is as its scenario has it."""


def machines() -> list[dict[str, Any]]:
    """Return every shipped scenario for the page, the first one first."""
    names = sorted(shipped_scenarios(), key=lambda name: (name != FIRST, name))
    return [machine(load_scenario(name), name) for name in names]


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
    found = []
    for control in CONTROLS:
        bounds = quantity_rule(control.key).bounds() if control.unit else (0.0, control.high)
        units = {"trade": unit_data(control.unit), "metric": unit_data(control.metric)}
        found.append({**control._asdict(), **units, "bounds": bounds})
    return found


def figures() -> list[dict[str, Any]]:
    """Return what is shown of a cycle: name, words, column of the outcome and units."""
    found = []
    for name in FIGURES:
        entry = READINGS[name]
        shown = {"name": name, "words": entry.words, "about": entry.about, "column": COLUMNS.get(name)}
        found.append({**shown, **kind_data(entry.kind, entry.decimals)})
    return found


def endings() -> dict[str, str]:
    """Return why a cycle ended, in words, by the engine's code."""
    return {str(reason.code): reason.value for reason in EndReason}


def damp() -> float:
    """Return the least moisture [kg/kg] of a piece that a slider makes drier."""
    return DAMP
