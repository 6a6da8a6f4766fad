"""Programs, heat sources, rooms and dead parts: what each does to the cycle."""

from __future__ import annotations

import numpy as np
import pytest

from dryermodel.cycle.engine import state as Y
from dryermodel.cycle.engine.parameters import NEVER
from dryermodel.cycle.reasons import EndReason
from dryermodel.cycle.result import CycleResult
from dryermodel.cycle.run.simulate import run_cycle
from dryermodel.physics.moist_air import humidity_ratio_from_rh
from dryermodel.scenario.model import load_scenario
from tests.cycle.cases import (
    WHOLE_CHAIN,
    degF,
    energy,
    on_whole_chain,
    parameters,
    run,
    run_changed,
    to_four_percent,
)

HOUR = "controls.time_limit=60 min"


def highest(r: CycleResult, name: str) -> float:
    return float(np.max(r.series[name]))


# programs -----------------------------------------------------------------------------------------


def test_timed_lasts_as_long_as_it_says() -> None:
    """40 minutes and the cool-down of 5; the timer never rests; the thermostat still cycles the burner."""
    r = run("controls.program=timed")
    assert r.end is EndReason.DIAL_RAN_OUT
    assert r.cycle_time == pytest.approx(2700.0, abs=1e-6)
    assert r.timer_time == pytest.approx(2700.0, abs=1e-6)
    assert r.burner_cycles > 3
    assert degF(highest(r, "exhaust_element_temp_K")) < 155.1


def test_timed_on_a_wet_load_ends_wet() -> None:
    r = run("controls.program=timed", "controls.timed_length=10 min")
    assert r.final_moisture > 0.2


def test_air_only_uses_no_gas() -> None:
    r = run("controls.program=air only", "controls.timed_length=20 min")
    assert r.cycle_time == pytest.approx(1500.0, abs=1e-6)
    assert r.gas_energy == r.burner_time == 0.0
    assert r.outcome.ignition_tries == 0.0
    assert 0.0 < r.water_removed < 0.5
    assert highest(r, "load_temp_K") < r.parameters.room_temp + 1.0


def test_low_heat_in_auto() -> None:
    """The bias heater makes the thermostat open about 15 degF sooner (published): the element's own
    temperature stays below 140 degF, its apparent one reaches the cut-out."""
    low = run("controls.heat=low", "machine.low_heat_in_auto=true")
    own = float(np.max(low.trajectory.state[:, Y.EXHAUST_ELEMENT]))
    assert degF(own) == pytest.approx(140.0, abs=0.01)
    assert degF(highest(low, "exhaust_element_temp_K")) == pytest.approx(155.0, abs=0.01)
    assert highest(low, "load_temp_K") < highest(run(), "load_temp_K") - 3.0
    assert low.end is EndReason.DIAL_RAN_OUT


def test_dryness_setting_is_heat_off_time() -> None:
    """Less dry, normal, very dry: 4, 8 and 12 minutes on the dial; longer means drier and more gas."""
    runs = [run(f"controls.dryness={word}") for word in ("less dry", "normal", "very dry")]
    assert [r.timer_time for r in runs] == pytest.approx([540.0, 780.0, 1020.0], abs=1e-6)
    assert runs[0].cycle_time < runs[1].cycle_time < runs[2].cycle_time
    assert runs[0].gas_energy < runs[1].gas_energy < runs[2].gas_energy


# heat sources -------------------------------------------------------------------------------------


def test_electric_machine() -> None:
    """Heat at once, no gas, no water formed; all energy electric; the same automatic logic."""
    r = run("machine.heat=electric")
    assert r.gas_energy == 0.0
    assert float(r.final[Y.WATER_FORMED]) == 0.0
    assert float(r.series["heat"][0]) == 1.0
    assert r.end is EndReason.DIAL_RAN_OUT
    motor = 0.93 * r.parameters.motor_power * r.cycle_time  # it falls by 13 % as the load dries
    assert r.electric_energy == pytest.approx(r.parameters.firing_rate * r.burner_time + motor, rel=5e-3)


def test_dry_air_of_an_electric_heater_takes_less_energy_for_the_same_water() -> None:
    """No combustion water and no latent loss of the heating value: per kg of water at least 5 % less."""
    gas, electric = to_four_percent(), to_four_percent("machine.heat=electric", "burner.heater_power=6448 W")
    assert energy(electric) / electric.water_removed < 0.95 * energy(gas) / gas.water_removed


def test_propane_on_its_own_orifice_does_the_same_job() -> None:
    """Same rating, a little less water formed (0.0325 against 0.0400 kg/MJ): within 5 % of the time."""
    propane = to_four_percent(
        "gas.kind=propane", "burner.rated_gas=propane", "gas.manifold_pressure=10 inH2O",
        "gas.supply_pressure=11 inH2O", "burner.rated_manifold_pressure=10 inH2O",
    )  # fmt: skip
    assert propane.parameters.firing_rate == pytest.approx(parameters().firing_rate, rel=1e-6)
    assert propane.cycle_time == pytest.approx(to_four_percent().cycle_time, rel=0.05)
    assert propane.cycle_time < to_four_percent().cycle_time


# rooms --------------------------------------------------------------------------------------------


def test_cold_garage_takes_longer_and_more_gas() -> None:
    """40 degF against 75: more heat per kg of water, and the machine is fine."""
    cold = to_four_percent("room.temperature=40 degF")
    assert cold.cycle_time > 1.1 * to_four_percent().cycle_time
    assert (
        energy(cold) / cold.water_removed > 1.1 * energy(to_four_percent()) / to_four_percent().water_removed
    )


@pytest.mark.parametrize("room", ["20 degF", "0 degF", "-20 degF"])
def test_garage_below_freezing(room: str) -> None:
    """Nothing breaks below 0 degC: finite, closed, and the load dries; freezing itself is not modelled."""
    r = run(f"room.temperature={room}", "controls.time_limit=2 h")
    assert np.isfinite(r.trajectory.state).all()
    assert abs(r.balance_water) < 1e-6
    assert abs(r.balance_energy) < 1e-6
    assert r.time_to_marked is not None
    assert r.time_to_marked > run().time_to_marked  # type: ignore[operator]


def test_humid_room_dries_more_slowly() -> None:
    assert to_four_percent("room.relative_humidity=95 %").cycle_time > to_four_percent().cycle_time


def test_altitude_weakens_an_unadjusted_burner() -> None:
    """Thinner air: less gas through the same orifice, less air mass; at 8000 ft it still dries, later."""
    high = to_four_percent("room.altitude=8000 ft")
    assert high.parameters.firing_rate < 0.9 * parameters().firing_rate
    assert high.cycle_time > to_four_percent().cycle_time


def test_vent_joint_leak_wets_the_room() -> None:
    """It is on the pressure side: it slows drying by the room's humidity, not by itself."""
    r = run("vent.joint_leak=30 cm2", "room.volume=5 m3")
    room = r.trajectory.state[:, Y.ROOM_HUMIDITY]
    assert room.max() > 1.3 * r.parameters.room_humidity_ratio
    tight = run().trajectory.state[:, Y.ROOM_HUMIDITY]
    assert np.ptp(tight) < 1e-12


def test_room_humidity_is_a_mixing_room() -> None:
    """dw/dt of the room from its own balance, by hand: what the joint leaks in, and outdoor air for what
    the machine draws and the air changes bring; against the slope of the trajectory."""
    r = run("vent.joint_leak=30 cm2", "room.volume=5 m3")
    p = r.parameters
    for t in (200.0, 800.0, 1200.0):
        a, w = r.air(t), float(r.trajectory.at(t)[Y.ROOM_HUMIDITY])
        air = p.room_volume * a.room.density
        leaked = a.flows.leak_share * a.flows.exhaust
        fresh = (1.0 - a.flows.leak_share) * a.flows.exhaust + p.room_air_exchange * air
        slope = (leaked * (a.exhaust.air.humidity_ratio - w) - fresh * (w - p.room_humidity_ratio)) / air
        ahead, behind = (float(r.trajectory.at(t + dt)[Y.ROOM_HUMIDITY]) for dt in (0.5, -0.5))
        assert ahead - behind == pytest.approx(slope, rel=0.02, abs=1e-8)


def test_an_aired_room_stays_drier() -> None:
    peaks = [
        run("vent.joint_leak=30 cm2", f"room.air_changes={n} 1/h").trajectory.state[:, Y.ROOM_HUMIDITY].max()
        for n in (0, 5, 50)
    ]
    assert peaks[0] > peaks[1] > peaks[2] > parameters().room_humidity_ratio


def test_depressurised_house_takes_air_from_the_machine() -> None:
    """The room below outdoors by 0.2 in w.c. works against the blower as a heavy flap of 0.2 would."""
    starved = run("room.depressurisation=0.2 inH2O")
    flap = run("vent.flap_pressure=0.2 inH2O")
    assert starved.cycle_time == flap.cycle_time
    assert starved.air(600.0).flows.exhaust < 0.97 * run().air(600.0).flows.exhaust


# limits -------------------------------------------------------------------------------------------


def test_thermal_cutoff_blows_once_and_for_good() -> None:
    """A high limit that does not open, on a blocked vent: the one-shot ends all heat, the drum turns on."""
    r = run_changed(vent_resistance_factor=20.0, high_limit_cut_out=NEVER, high_limit_cut_in=NEVER - 1.0)
    blown = [e for e in r.events if "thermal cut-off opens for good" in e.changes]
    assert len(blown) == 1
    after = r.series["time_s"] > blown[0].time
    assert not r.series["heat"][after].any()
    assert not r.series["thermal_cutoff"][after].any()
    assert float(r.trajectory.at(blown[0].time)[Y.CUTOFF_ELEMENT]) == pytest.approx(
        r.parameters.thermal_cutoff, abs=1e-6
    )


BARE_LIMIT = (
    "machine.chamber_conductance=0 W/K",
    "machine.high_limit_metal_share=0 %",
    "machine.thermal_cutoff=never",
)


@pytest.mark.parametrize("whole_chain", [False, True])
def test_blown_thermal_cutoff_in_both_wirings(whole_chain: bool) -> None:
    """Whole chain: the timer runs at once on a wet load. Thermostat alone: it never runs."""
    r = run("machine.thermal_cutoff_state=blown", HOUR, *(WHOLE_CHAIN if whole_chain else ()))
    assert r.burner_time == 0.0
    assert r.final_moisture > 0.3
    if whole_chain:
        assert r.end is EndReason.DIAL_RAN_OUT
        assert r.cycle_time == pytest.approx(780.0, abs=1e-6)
    else:
        assert r.end.value.startswith("time limit")
        assert r.timer_time == 0.0


def test_high_limit_never_passes_its_cut_out() -> None:
    """Located, not stepped over: the element's highest value is the set point itself.

    Without the chamber's metal, which would go on warming the element behind an open limit.
    """
    for p in (
        parameters("vent.resistance_factor=8", *BARE_LIMIT),
        on_whole_chain(parameters("vent.resistance_factor=20", *BARE_LIMIT)),
    ):
        top = run_cycle(p).trajectory.state[:, Y.HIGH_LIMIT_ELEMENT].max()
        assert top == pytest.approx(p.high_limit_cut_out, abs=1e-6)


# dead parts ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "override",
    [
        "burner.flame_sensor=stuck open",
        "burner.flame_sensor=stuck closed",
        "burner.igniter_warm_up=never",
        "gas.supply_pressure=0 inH2O",
    ],
)
def test_no_heat_and_the_timer_waits_for_ever(override: str) -> None:
    """The chain stays closed and shunts the timer: "runs for hours, never gets hot"."""
    r = run(override, HOUR)
    assert r.burner_time == r.gas_energy == r.timer_time == 0.0
    assert r.end.value.startswith("time limit")
    assert r.cycle_time == 3600.0


@pytest.mark.parametrize(
    "override",
    ["gas.supply_pressure=0 inH2O", "burner.igniter_warm_up=never", "machine.thermal_cutoff_state=blown"],
)
def test_a_burner_that_never_lit_is_not_a_weak_burner(override: str) -> None:
    """Four hours of room air dry the load below 4 % as well; the cut-out is not what is wrong with it."""
    r = run(override)
    assert r.time_to_marked is not None
    assert r.burner_cycles == 0
    assert r.end is EndReason.TIME_LIMIT


def test_dead_gas_supply_tries_again_and_again() -> None:
    """15 s igniter and 30 s cooling: 80 tries an hour."""
    assert run("gas.supply_pressure=0 inH2O", HOUR).outcome.ignition_tries == pytest.approx(80.0, abs=1.0)


def test_open_igniter_never_glows_and_draws_nothing() -> None:
    r = run("burner.igniter_warm_up=never", HOUR)
    assert r.outcome.ignition_tries == 0.0
    assert highest(r, "electric_power_W") < 300.0


def test_coil_that_fails_hot_heats_on_the_first_burn_then_has_long_gaps() -> None:
    r = run("burner.coil_opens=120 degF", "burner.coil_recloses=100 degF")
    assert r.burner_cycles > run().burner_cycles
    assert to_four_percent("burner.coil_opens=120 degF", "burner.coil_recloses=100 degF").cycle_time > (
        1.2 * to_four_percent().cycle_time
    )
    assert any("main coil goes open" in e.changes for e in r.events)


def test_thermostat_stuck_closed_runs_hot_and_for_ever() -> None:
    r = run("machine.exhaust_thermostat=stuck closed", HOUR)
    assert r.timer_time == 0.0
    assert degF(highest(r, "exhaust_temp_K")) > 165.0


def test_thermostat_stuck_open_stops_early_on_a_wet_load() -> None:
    r = run("machine.exhaust_thermostat=stuck open", HOUR)
    assert r.cycle_time == pytest.approx(780.0, abs=1e-6)
    assert r.burner_time == 0.0
    assert r.final_moisture > 0.5


def test_dead_timer_motor_never_advances_the_dial() -> None:
    """The burner cycles for ever on the thermostat; and nothing says that the timer runs."""
    r = run("machine.timer_motor=dead", HOUR)
    assert r.end.value.startswith("time limit")
    assert float(r.final[Y.DIAL]) == r.timer_time == 0.0
    assert r.final_moisture < 0.02
    assert not any("timer runs" in e.changes for e in r.events)
    assert not r.duty()["timer_duty"].any()


def test_drum_standing_still_leaves_a_wet_load() -> None:
    r = run("machine.tumbling=0 %")
    assert r.final_moisture > 0.4


def test_over_full_drum_dries_badly() -> None:
    """Twice the load takes more than twice the time."""
    double = to_four_percent("load.dry_mass=18 lb", "controls.time_limit=6 h")
    alone = to_four_percent("load.dry_mass=9 lb", "controls.time_limit=6 h")
    assert double.cycle_time > 2.0 * alone.cycle_time


def test_a_room_fed_by_a_vent_leak_fogs_up_but_holds_no_more_than_saturated_air() -> None:
    r = run_cycle(load_scenario("standard", ["vent.joint_leak=300 cm2"]).to_parameters())
    p = r.parameters
    peak = float(r.trajectory.state[:, Y.ROOM_HUMIDITY].max())
    saturated = humidity_ratio_from_rh(p.room_temp, 1.0, p.pressure)
    assert saturated < peak < 1.05 * saturated
    assert abs(r.balance_water) < 1e-6
