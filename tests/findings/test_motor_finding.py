"""What is said of a motor that labours: by its power, and how long a start takes it."""

from __future__ import annotations

import pytest

from dryermodel.findings.statements import findings
from dryermodel.machine.motor import run_up_time
from tests.plain import Cycles


def said(cycle: Cycles, *overrides: str) -> str:
    return next((text for text in findings(cycle(*overrides)) if text.startswith("The motor takes")), "")


@pytest.mark.parametrize(("watts", "drag"), [(350.0, 1.4), (450.0, 1.8)])
def test_a_labouring_motor_with_its_run_up(cycle: Cycles, watts: float, drag: float) -> None:
    text = said(cycle, f"machine.motor_power={watts} W")
    assert f"takes {watts:.0f} W at the start, {drag:.1f} times the 250 W" in text
    assert f"about {run_up_time(drag, 1.0):.2f} s until the start winding lets go" in text


def test_a_free_turning_machine_has_nothing_said(cycle: Cycles) -> None:
    assert said(cycle) == "" == said(cycle, "machine.motor_power=274 W")
    assert said(cycle, "machine.heat=electric", "machine.line_voltage=240 V") == ""


def test_a_low_voltage_starts_slower(cycle: Cycles) -> None:
    text = said(cycle, "machine.line_voltage=102 V", "machine.igniter_resistance=30 ohm")
    assert "on 85 % of the usual line voltage" in text
    assert f"{run_up_time(1.0, 0.85):.2f} s" in text


def test_three_times_the_power_never_gets_up_to_speed(cycle: Cycles) -> None:
    text = said(cycle, "machine.motor_power=750 W", "controls.time_limit=5 min")
    assert "does not get up to speed" in text and "lets go" not in text
