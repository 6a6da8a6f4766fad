"""The motor and the igniter at another voltage than their own."""

from __future__ import annotations

import math

import pytest

from dryermodel.machine.ignition import NEVER_HOT, warm_up_at_voltage
from dryermodel.machine.motor import HEALTHY_RUN_UP, STARTING_TORQUE, run_up_time, speed_at_voltage


def test_nothing_changes_at_the_rated_voltage() -> None:
    assert speed_at_voltage(1.0) == 1.0
    assert warm_up_at_voltage(23.7, 1.0) == 23.7


def test_speed_from_the_turns_a_tachometer_shows() -> None:
    """1,725 of 1,800 turns a minute is 75 of slip; at 80 % of the voltage it is 75/0.64."""
    slow = 1800.0 - (1800.0 * 0.042) / 0.64
    assert speed_at_voltage(0.8) == pytest.approx(slow / (1800.0 * (1.0 - 0.042)))
    assert speed_at_voltage(0.1) == 0.0


def test_warm_up_is_the_time_a_lump_takes_to_its_opening_share() -> None:
    """Explicit Euler integration of dT/dt = v^2 - T, opening at half the rated rise."""
    step, times = 1e-5, {}
    for v in (1.0, 0.8):
        warmth, t = 0.0, 0.0
        while warmth < 0.5:
            warmth += step * (v * v - warmth)
            t += step
        times[v] = t
    assert warm_up_at_voltage(1.0, 0.8) == pytest.approx(times[0.8] / times[1.0], rel=1e-4)


def test_below_seven_tenths_of_the_voltage_the_igniter_never_gets_there() -> None:
    edge = math.sqrt(0.5)
    assert warm_up_at_voltage(15.0, edge - 1e-9) == NEVER_HOT
    assert warm_up_at_voltage(1e9, edge - 1e-9) == 1e9
    assert 15.0 < warm_up_at_voltage(15.0, edge + 1e-6) < NEVER_HOT


@pytest.mark.parametrize(("drag", "voltage"), [(1.0, 1.0), (1.4, 1.0), (1.8, 0.9), (1.0, 0.75)])
def test_a_start_is_the_time_of_a_wheel_under_what_torque_is_left(drag: float, voltage: float) -> None:
    """Explicit Euler integration of J dw/dt = torque left, J from the healthy start's own time."""
    inertia = HEALTHY_RUN_UP * (STARTING_TORQUE - 1.0)
    step, speed, t = 1e-4, 0.0, 0.0
    while speed < 1.0:
        speed += step * (STARTING_TORQUE * voltage**2 - drag) / inertia
        t += step
    assert run_up_time(drag, voltage) == pytest.approx(t, abs=2.0 * step)


def test_a_motor_without_torque_to_spare_never_starts() -> None:
    assert math.isinf(run_up_time(STARTING_TORQUE, 1.0))
    assert math.isinf(run_up_time(1.0, math.sqrt(1.0 / STARTING_TORQUE)))
    assert run_up_time(1.4, 1.0) > run_up_time(1.2, 1.0) > HEALTHY_RUN_UP < run_up_time(1.0, 0.9)
