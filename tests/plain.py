"""A machine without stores of heat, with its values written down: for tests of what is said about numbers.

Findings, tables and pictures are tested on fixed numbers; a default that is derived anew moves none of them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache

from dryermodel.cycle.result import CycleResult
from dryermodel.cycle.run.simulate import run_cycle
from dryermodel.scenario.model import Scenario, load_scenario

PLAIN = (
    "machine.drum_metal_mass=12 kg",
    "machine.drum_conductance=20 W/K",
    "machine.cabinet_conductance=5 W/K",
    "machine.cabinet_share=0 %",
    "machine.seal_from_cabinet=0 %",
    "machine.housing_conductance=0 W/K",
    "machine.chamber_conductance=0 W/K",
    "machine.motor_power_fall=0 %",
    "machine.exhaust_metal_share=0 %",
    "machine.high_limit_metal_share=0 %",
    "machine.high_limit_coupling=62 %",
    "machine.cutoff_coupling=62 %",
    "machine.cutoff_lag=45 s",
    "machine.dial_less_dry=2 min",
    "machine.dial_normal=3 min",
    "machine.dial_very_dry=6 min",
    "machine.igniter_resistance=45 ohm",
    "machine.least_uptake=0 %",
    "machine.transfer_conductance=0.115 kg/s",
    "load.critical_moisture=25 %",
    "burner.igniter_warm_up=30 s",
    "vent.length=20 ft",
    "vent.elbows=2",
)
"""One kind of cloth of exposure 1, no new store and no returned heat, and a vent of its own."""


def plain_settings(overrides: Sequence[str] = ()) -> list[str]:
    """The plain machine's settings with others after them; an electric machine has no burner."""
    electric = "machine.heat=electric" in overrides
    return [s for s in PLAIN if not (electric and s.startswith("burner."))] + list(overrides)


def plain_scenario(overrides: Sequence[str] = (), faults: Sequence[str] = ()) -> Scenario:
    """The plain machine with overrides and faults."""
    return load_scenario("standard", plain_settings(overrides), faults)


@cache
def plain_run(*overrides: str) -> CycleResult:
    """Its cycle."""
    scenario = plain_scenario(overrides)
    return run_cycle(
        scenario.to_parameters(),
        scenario.interruptions(),
        title=scenario.title,
        scenario_hash=scenario.hash,
    )


Cycles = Callable[..., CycleResult]
