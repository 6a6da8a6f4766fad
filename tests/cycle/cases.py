"""Runs that more than one test looks at, computed once, and people's units."""

from __future__ import annotations

from functools import cache
from typing import Any

from dryermodel.cycle.engine.parameters import SHUNT_WHOLE_CHAIN, Parameters
from dryermodel.cycle.result import CycleResult
from dryermodel.cycle.run.simulate import run_cycle
from dryermodel.scenario.model import load_scenario

KWH = 3.6e6  # J
POUND = 0.45359237  # kg
INH2O = 249.0889  # Pa
CFM = 0.3048**3 / 60.0  # m3/s
WHOLE_CHAIN = ("machine.timer_wiring=whole chain",)
TEST_VENT = ("vent.length=20 ft", "vent.elbows=2")
"""The vent on which the transfer conductance is fitted to the energy tests, and that of the published values
of static and flow. It stands for the tests' exhaust simulator, whose own resistance is not at hand."""


def degF(kelvin: float) -> float:
    """Temperature as a technician reads it."""
    return (kelvin - 273.15) * 1.8 + 32.0


@cache
def parameters(*overrides: str) -> Parameters:
    """The standard machine with overrides as a person writes them."""
    return load_scenario("standard", list(overrides)).to_parameters()


@cache
def run(*overrides: str) -> CycleResult:
    """Its cycle."""
    return run_cycle(parameters(*overrides))


@cache
def run_changed(**fields: Any) -> CycleResult:
    """The cycle of the standard machine with SI fields replaced."""
    return run_cycle(parameters()._replace(**fields))


def to_four_percent(*overrides: str) -> CycleResult:
    """The same machine, stopped when the load has 4 % moisture left."""
    return run(*overrides, "controls.stop_at_moisture=4 %")


def energy(r: CycleResult) -> float:
    """Gas and electricity [J]."""
    return r.gas_energy + r.electric_energy


def on_whole_chain(p: Parameters) -> Parameters:
    """The same machine with the high limit inside the section that shunts the timer."""
    return p._replace(timer_wiring=SHUNT_WHOLE_CHAIN)
