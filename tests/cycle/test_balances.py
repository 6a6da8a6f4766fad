"""Water and energy close on every run, and the check can fail."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from dryermodel.cycle.engine import equations as eq
from dryermodel.cycle.engine import loop as engine
from dryermodel.cycle.engine import pair
from dryermodel.cycle.engine import parameters as P
from dryermodel.cycle.engine import state as Y
from dryermodel.cycle.engine.constants import Constants
from dryermodel.cycle.run.simulate import run_cycle
from tests.cycle.cases import parameters, run

CLOSED = 1e-6  # of the throughput

RUNS: dict[str, tuple[str, ...]] = {
    "standard": (),
    "eight times the vent": ("vent.resistance_factor=8",),
    "fully blocked": ("vent.open_area=0 %", "controls.time_limit=60 min"),
    "leaking joint": ("vent.joint_leak=30 cm2", "room.volume=5 m3"),
    "leaking gasket": ("air.gasket_leak=24 cm2",),
    "no gas": ("gas.supply_pressure=0 inH2O", "controls.time_limit=60 min"),
    "coil fails hot": ("burner.coil_opens=120 degF", "burner.coil_recloses=100 degF"),
    "electric": ("machine.heat=electric",),
    "timed": ("controls.program=timed",),
    "air only": ("controls.program=air only",),
    "low heat": ("controls.heat=low", "machine.low_heat_in_auto=true"),
    "cold garage": ("room.temperature=10 degF", "controls.time_limit=90 min"),
    "propane": ("gas.kind=propane", "burner.rated_gas=propane"),
    "altitude": ("room.altitude=8000 ft",),
    "cold load, humid room": ("load.temperature=40 degF", "room.relative_humidity=95 %"),
    "drum standing still": ("machine.tumbling=0 %",),
    "starved of combustion air": ("burner.firing_rate=200000 Btu/h", "vent.resistance_factor=20"),
    "rough tolerance": ("controls.rel_tolerance=1e-3",),
}


@pytest.mark.parametrize("overrides", RUNS.values(), ids=RUNS.keys())
def test_balances_close(overrides: tuple[str, ...]) -> None:
    """1e-6 of the throughput; in fact to rounding, because both are linear in the state."""
    r = run(*overrides)
    assert abs(r.balance_water) < CLOSED
    assert abs(r.balance_energy) < CLOSED


def test_balances_close_when_no_energy_is_used() -> None:
    """A motor and a heater of 0 W are admissible: what passes through is then the air's own enthalpy."""
    r = run(
        "machine.motor_power=0 W",
        "machine.heat=electric",
        "burner.heater_power=0 W",
        "controls.time_limit=30 min",
    )
    assert r.gas_energy + r.electric_energy == pytest.approx(0.0, abs=1e-6)
    assert abs(r.balance_energy) < CLOSED


def test_balances_close_through_interruptions() -> None:
    r = run(
        "controls.interruptions=5 min door opened; 7 min door closed; 7 min start pressed; 12 min power cut; "
        "13 min power back; 14 min start pressed"
    )
    assert abs(r.balance_water) < CLOSED
    assert abs(r.balance_energy) < CLOSED


# the same check on tampered equations ----------------------------------------------------------------


def tamper(monkeypatch: pytest.MonkeyPatch, spoil: Callable[[Any], None]) -> None:
    """Let every evaluation of the rates pass through `spoil`."""

    def spoiled(y: Any, p: P.Parameters, c: Constants, d: eq.Drive, rate: Any) -> None:
        eq.derivatives(y, p, c, d, rate)
        spoil(rate)

    monkeypatch.setattr(pair, "derivatives", spoiled)
    monkeypatch.setattr(engine, "derivatives", spoiled)


@pytest.mark.parametrize(
    ("state", "balance"),
    [
        (Y.WATER_OUT, "balance_water"),
        (Y.WATER_IN, "balance_water"),
        (Y.WATER_FORMED, "balance_water"),
        (Y.MOISTURE, "balance_water"),
        (Y.AIR_ENTHALPY_OUT, "balance_energy"),
        (Y.AIR_ENTHALPY_IN, "balance_energy"),
        (Y.HEAT_LOST, "balance_energy"),
        (Y.GAS_ENERGY, "balance_energy"),
        (Y.ELECTRIC_ENERGY, "balance_energy"),
        (Y.LOAD_ENTHALPY, "balance_energy"),
        (Y.METAL_TEMP, "balance_energy"),
        (Y.HOUSING_TEMP, "balance_energy"),
        (Y.CHAMBER_TEMP, "balance_energy"),
    ],
)
def test_an_error_of_a_thousandth_in_one_rate_opens_a_balance(
    monkeypatch: pytest.MonkeyPatch, state: int, balance: str
) -> None:
    """The check is not empty: it sees 0.1 % in any rate that takes part in it."""

    def spoil(rate: Any) -> None:
        rate[state] *= 1.001

    tamper(monkeypatch, spoil)
    # A run that ends hot: metal that is back at room temperature holds no error.
    r = run_cycle(parameters("controls.stop_at_moisture=20 %"))
    assert abs(getattr(r, balance)) > CLOSED


def test_untampered_the_same_path_is_closed(monkeypatch: pytest.MonkeyPatch) -> None:
    """The detour itself opens nothing."""
    tamper(monkeypatch, lambda rate: None)
    r = run_cycle(parameters())
    assert abs(r.balance_water) < CLOSED
    assert abs(r.balance_energy) < CLOSED


def test_energy_of_the_gas_is_firing_rate_times_flame_time() -> None:
    """An account of its own, from the discrete side: every joule of gas was burned while lit."""
    r = run()
    assert r.gas_energy == pytest.approx(r.parameters.firing_rate * r.burner_time, rel=1e-9)


def test_electricity_adds_up_from_intervals() -> None:
    """Motor, igniter, valves and timer from the recorded contacts, the motor's power not falling."""
    r = run("machine.motor_power_fall=0 %")
    tr = r.trajectory
    total = 0.0
    for i in range(len(tr.time) - 1):
        d = r.drive(i)
        total += (d.motor + d.igniter + d.valves + d.timer + d.heater) * float(tr.time[i + 1] - tr.time[i])
    assert r.electric_energy == pytest.approx(total, rel=1e-9)


def test_water_formed_is_the_gas_times_its_share() -> None:
    """0.0400 kg/MJ for natural gas, computed from standard enthalpies of formation (GRI-Mech 3.0)."""
    r = run()
    assert float(r.final[Y.WATER_FORMED]) == pytest.approx(0.0400e-6 * r.gas_energy, rel=1e-6)
