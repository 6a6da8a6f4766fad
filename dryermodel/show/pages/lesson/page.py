"""The lesson put together: data, scripts and template in one file."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

from dryermodel.cycle.engine import causes, switching
from dryermodel.cycle.engine import state as Y
from dryermodel.cycle.events import CAUSES, CHANGES
from dryermodel.cycle.run.javascript import engine_javascript, library_javascript
from dryermodel.errors import InputError
from dryermodel.machine import timer
from dryermodel.machine.circuit import energise, voltages
from dryermodel.machine.currents import currents
from dryermodel.physics.moist_air import humidity_ratio_from_rh
from dryermodel.scenario.convert import DAMP
from dryermodel.scenario.fault_moves import vent_blockage
from dryermodel.scenario.model import Scenario
from dryermodel.show.pages.lesson import settings
from dryermodel.show.pages.lesson.questions import questions
from dryermodel.show.pages.pocket.machines import endings
from dryermodel.show.pages.shared.assemble import assemble
from dryermodel.show.pages.shared.sliders import figure_data
from dryermodel.show.pages.shared.units import kind_data

SCRIPTS = ("circuits", "core", "setup", "telling", "chart", "wiring", "player", "measures", "asking", "start")
"""Scripts of the page in the order in which they run, after the shared ones."""

FIGURES = (
    "cycle_time",
    "final_moisture",
    "wettest_final_moisture",
    "burner_time",
    "burner_cycles",
    "timer_time",
    "high_limit_trips",
    "load_temp_max",
    "gas_energy",
)
"""Readings shown of the machine as it came and as the sliders stand."""

SWITCHES = (
    "STRETCH", "RUNNING", "EXHAUST_THERMOSTAT", "HIGH_LIMIT", "THERMAL_CUTOFF", "FLAME_SENSOR", "FIRST_VALVE",
    "GAS", "FLAME", "IGNITER", "MAIN_COIL", "TIMER_MOTOR",
)  # fmt: skip
"""Discrete states that the page's scripts read, by the engine's names."""


def lesson_page(version: str, scenario: Scenario) -> str:
    """Return the page as text.

    Parameters
    ----------
    version : str
        Of the program.
    scenario : Scenario
        The machine that the lesson is about, and its load; its faults are left out.

    Raises
    ------
    InputError
        An electric machine: its heater stands in the model in place of the burner's circuit, on one line
        voltage, which no electric dryer's wiring looks like. Or a program without heat.
    """
    _check(scenario)
    scripts = {"engine": engine_javascript(), "library": library()}
    return assemble(__package__, "lesson", scripts, SCRIPTS, version=version, data=data(scenario))


def _check(scenario: Scenario) -> None:
    """Raise InputError for what the lesson cannot draw."""
    if scenario.model.machine.heat == "electric":
        message = "is electric; the lesson draws a gas machine's circuit"
        raise InputError(message, scenario.label, "machine.heat")
    if scenario.model.controls.program == "air only":
        message = "is air only; the lesson needs a program with heat"
        raise InputError(message, scenario.label, "controls.program")


@cache
def library() -> str:
    """Return the translated functions that the page needs beside the engine."""
    return library_javascript(
        "dryerLibrary", humidity_ratio_from_rh, Y.pieces_of, Y.hottest, vent_blockage,
        switching.contacts, switching.circuit, energise, voltages, currents,
    )  # fmt: skip


def data(scenario: Scenario) -> dict[str, Any]:
    """Return what the page's scripts know of machine, sliders, questions and units."""
    found = {
        "machine": settings.machine(scenario),
        "controls": settings.settings(),
        "cloth": settings.cloths(scenario),
        "mostCloths": Y.MOST_PIECES,
        "wirings": settings.WIRINGS,
        "order": list(settings.WIRINGS),
        "differential": settings.LEAST_DIFFERENTIAL,
        "figures": [figure_data(name) for name in FIGURES],
        "endings": endings(),
        "questions": questions(),
        "kinds": {name: kind_data(name) for name in ("temperature", "time", "moisture")},
        "damp": DAMP,
        "places": places(),
        "changes": CHANGES,
        "causes": {str(code): words for code, words in CAUSES.items()},
        "noCause": causes.NO_CAUSE,
    }
    json.dumps(found, allow_nan=False)
    return found


def places() -> dict[str, Any]:
    """Return where a recording holds what is drawn."""
    return {
        "exhaust": Y.EXHAUST_ELEMENT,
        "dial": Y.DIAL,
        "moisture": Y.MOISTURE,
        "perPiece": Y.PER_PIECE,
        "switch": {name: getattr(switching, name) for name in SWITCHES},
        "marks": [switching.MARK_PASSED, switching.MIDWAY_PASSED, switching.START],
        "stretch": {"heat": timer.HEAT, "coolDown": timer.COOL_DOWN, "off": timer.OFF},
    }
