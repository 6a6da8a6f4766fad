"""Findings about the motor: what it takes at the plug, and how long a start takes it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from dryermodel.findings.facts import Facts, Finding, default_machine
from dryermodel.findings.steps import SHARE_STEP
from dryermodel.machine.motor import HEALTHY_RUN_UP, run_up_time

LOW_VOLTAGE = 0.93
"""Share of the usual line voltage below which a start is worth a word; 5 % is usual (common practice)."""


def labours(f: Facts) -> Iterator[Finding]:
    """A motor that takes more than a free-turning machine's, or starts on a low voltage."""
    usual = default_machine()
    drag = f.p.motor_power / usual.motor_power
    voltage = f.p.line_voltage / usual.line_voltage if f.gas else 1.0
    if drag < 1.0 + SHARE_STEP and voltage > LOW_VOLTAGE:
        return
    yield Finding(28, f"{_power(f, drag, usual.motor_power, voltage)} {_start(drag, voltage)}", ("unplug",))


def _power(f: Facts, drag: float, usual: float, voltage: float) -> str:
    text = f"The motor takes {f.p.motor_power:.0f} W at the start"
    if drag >= 1.0 + SHARE_STEP:
        text += f", {drag:.2g} times the {usual:.0f} W measured on one healthy machine"
    if voltage <= LOW_VOLTAGE:
        text += f", on {100.0 * voltage:.0f} % of the usual line voltage"
    return f"{text}."


def _start(drag: float, voltage: float) -> str:
    seconds = run_up_time(drag, voltage)
    if math.isinf(seconds):
        return (
            "By what a starting motor has over that it does not get up to speed: it hums, the start winding "
            "stays in and the overload trips (torques assumed)."
        )
    return (
        f"A start takes about {seconds:.2f} s until the start winding lets go, {HEALTHY_RUN_UP:g} s on a "
        f"healthy machine (assumed).{_look(drag)}"
    )


def _look(drag: float) -> str:
    if drag < 1.0 + SHARE_STEP:
        return " Measure the voltage at the running machine, and look at cord and plug."
    return " Turn the drum by hand with the belt off: rollers, glides and idler."
