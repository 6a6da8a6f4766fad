"""What the machine does with a fault: mechanisms, balances, how the cycle ends."""

from __future__ import annotations

import pytest

from dryermodel.cycle.engine.switching import IGNITER, RUNNING
from dryermodel.cycle.reasons import EndReason
from dryermodel.cycle.run.simulate import run_cycle
from dryermodel.machine.circuit import START_PRESSED
from dryermodel.scenario.faults import apply_faults, catalogue
from dryermodel.scenario.model import load_scenario
from tests.numbers import numbers
from tests.scenario.faulty import STANDARD, run, severities, with_fault


@pytest.mark.parametrize("key", list(catalogue()))
def test_every_fault_runs_at_its_worst_and_balances(key: str) -> None:
    result = run_cycle(apply_faults(STANDARD, {key: 1.0})._replace(time_limit=2400.0))
    assert abs(result.balance_water) < 1e-6
    assert abs(result.balance_energy) < 1e-6


@pytest.mark.parametrize(
    "key",
    [
        "igniter_open",
        "flame_sensor_stuck_open",
        "flame_sensor_stuck_closed",
        "thermal_cutoff_open",
        "gas_shut_off",
    ],
)
def test_no_gas_faults_burn_no_gas(key: str) -> None:
    assert run(key, time_limit=1200.0).gas_energy == 0.0


def test_thermostat_stuck_open_ends_soon_cold_and_wet() -> None:
    result = run("thermostat_stuck_open")
    assert result.end is EndReason.DIAL_RAN_OUT
    assert result.cycle_time == pytest.approx(STANDARD.dial_heat + STANDARD.dial_cool_down)
    assert result.gas_energy == 0.0 and result.final_moisture > 0.5


def test_half_the_gas_in_auto_never_reaches_the_cut_out() -> None:
    """Mechanism: at half input in a 75 degF room the exhaust stays below the cut-out."""
    assert run("weak_burner=50 %").end is EndReason.NEVER_CUTS_OUT


def test_gasket_leak_makes_a_hotter_drier_load_for_more_gas_in_about_the_same_time() -> None:
    """Mechanism: the exhaust thermostat feels the mixture with room air."""
    healthy, leaking = run_cycle(STANDARD), run("outlet_gasket_leak=20 cm2")
    assert healthy.bulk is not None and leaking.bulk is not None
    assert healthy.time_to_marked is not None
    assert leaking.time_to_marked == pytest.approx(healthy.time_to_marked, rel=0.1)
    assert max(leaking.series["load_temp_K"]) > max(healthy.series["load_temp_K"]) + 10.0
    assert leaking.bulk["exhaust_temp_K"] < healthy.bulk["exhaust_temp_K"] - 2.0
    assert leaking.final_moisture < healthy.final_moisture
    assert leaking.gas_energy > healthy.gas_energy


def test_screen_and_wheel_lower_the_vent_static_but_a_blocked_vent_raises_it() -> None:
    static = {}
    for text in ("vent_blockage=60 %", "lint_screen_blocked=60 %", "blower_wheel_caked=70 %"):
        bulk = run(text).bulk
        assert bulk is not None
        static[text.split("=")[0]] = bulk["vent_static_Pa"]
    healthy = run_cycle(STANDARD).bulk
    assert healthy is not None
    assert static["vent_blockage"] > 1.3 * healthy["vent_static_Pa"]
    assert static["lint_screen_blocked"] < 0.7 * healthy["vent_static_Pa"]
    assert static["blower_wheel_caked"] < 0.7 * healthy["vent_static_Pa"]


def test_drift_moves_the_dryness_the_way_the_entries_say() -> None:
    """On a load of unlike pieces: an even cloth is dry before the thermostat opens, wherever that stands."""
    family = load_scenario("family_load").to_parameters()
    low, healthy, high = (
        run_cycle(apply_faults(family, severities(*fault)))
        for fault in (["thermostat_drift=15 degF"], [], ["thermostat_drift_high=15 degF"])
    )
    assert low.cycle_time < healthy.cycle_time < high.cycle_time
    assert low.final_moisture > healthy.final_moisture > high.final_moisture


def test_timer_motor_dead_never_ends() -> None:
    assert run("timer_motor_dead", time_limit=7200.0).end is not EndReason.DIAL_RAN_OUT


# Faults a tune-up mends ---------------------------------------------------------------------------


def test_gas_shut_off_glows_and_tries_without_end() -> None:
    result = run("gas_shut_off", time_limit=1800.0)
    assert result.end is not EndReason.DIAL_RAN_OUT and result.timer_time == 0.0
    assert result.gas_energy == 0.0
    assert len(result.trajectory.intervals(IGNITER, 1e9)) > 10


def test_silted_housing_lowers_static_and_flow() -> None:
    silted, healthy = run("housing_silted=0.5 inH2O").bulk, run_cycle(STANDARD).bulk
    assert silted is not None and healthy is not None
    assert silted["vent_static_Pa"] < 0.8 * healthy["vent_static_Pa"]
    assert silted["exhaust_flow_m3_per_s"] < 0.9 * healthy["exhaust_flow_m3_per_s"]


def test_silt_resists_in_series_with_a_screen_that_does_not_load_up() -> None:
    """Two resistances of the square law in a row add, so either may carry the whole."""
    bare = STANDARD._replace(screen_loading=0.0)
    silted = apply_faults(bare, severities("housing_silted=0.3 inH2O"))
    screen = bare._replace(screen_loss=bare.screen_loss + silted.housing_loss)
    assert run_cycle(silted).cycle_time == pytest.approx(run_cycle(screen).cycle_time, rel=1e-9)


def test_dust_in_the_venturi_leaves_the_cycle_as_it_is() -> None:
    assert run("venturi_dusty=40 %").cycle_time == run_cycle(STANDARD).cycle_time


@pytest.mark.parametrize(
    ("text", "after"),
    [("start_winding_stays", 60.0), ("hold_contact_open", 2.0), ("switch_intermittent=15 min", 900.0)],
)
def test_a_motor_that_is_let_go_stops_and_does_not_restart(text: str, after: float) -> None:
    result = run(text)
    assert (result.end, result.cycle_time) == (EndReason.STOPPED, after)
    assert result.final_moisture > 0.2


def test_pressing_start_makes_it_run_again_after_a_poor_contact() -> None:
    again = run_cycle(with_fault("switch_intermittent=10 min"), [(660.0, START_PRESSED)])
    assert again.end is EndReason.DIAL_RAN_OUT
    running = again.trajectory.intervals(RUNNING, 1e9)
    assert [round(t) for t in running[0]] == [0, 600] and round(running[1][0]) == 660


def test_low_voltage_lights_late_and_too_low_never() -> None:
    slow, dark = run("low_line_voltage=85 %"), run("low_line_voltage=70 %", time_limit=1800.0)
    assert slow.end is EndReason.DIAL_RAN_OUT and slow.cycle_time > run_cycle(STANDARD).cycle_time
    assert dark.gas_energy == 0.0 and dark.series["igniter"][-1] == 1.0
    electric = load_scenario("electric", faults=["low_line_voltage=90 %"]).to_parameters()
    healthy = load_scenario("electric").to_parameters()
    assert electric.firing_rate == pytest.approx(0.81 * healthy.firing_rate)


def test_a_given_line_voltage_below_the_plate_s_is_the_same_fault() -> None:
    low = load_scenario("standard", ["machine.line_voltage=108 V", "machine.rated_voltage=120 V"])
    found = numbers(with_fault("low_line_voltage=90 %"))
    assert found == pytest.approx(numbers(low.to_parameters()), rel=1e-12)
    healthy = load_scenario("standard", ["machine.line_voltage=108 V"]).to_parameters()
    assert healthy.igniter_warm_up == STANDARD.igniter_warm_up


def test_a_dragging_drum_takes_more_power_and_tumbles_less() -> None:
    p = with_fault("drum_drags=150 %")
    assert p.motor_power == pytest.approx(1.5 * STANDARD.motor_power)
    assert p.tumbling == pytest.approx(0.85 * STANDARD.tumbling)
