"""By how much a number of the cycle must move before a technician would call it changed.

The steps are what usual instruments and a watch tell apart from one load to the next: assumed,
common practice at best.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING

from dryermodel.readings import quantities as Q

if TYPE_CHECKING:
    from dryermodel.vocabulary import Readings

TEMPERATURE_STEP = 5.0 * 5.0 / 9.0
"""5 degF: a probe in the exhaust, in bulk drying [K]."""

PEAK_STEP = 10.0 * 5.0 / 9.0
"""10 degF: the highest exhaust temperature, which swings with the thermostat [K]."""

LOAD_STEP = 15.0 * 5.0 / 9.0
"""15 degF: a probe among the clothes [K]."""

STATIC_STEP = 20.0
"""0.08 in w.c. on a manometer [Pa]."""

MOISTURE_STEP = 0.01
"""1 % of the bone-dry weight on a luggage scale [kg/kg]."""

SHARE_STEP = 0.10
"""Times, gas, air flow and motor power: one tenth."""

STRETCH_STEP = 0.35
"""Lengths of burner stretches and the wait for the flame: about a third."""

Step = Callable[[float], float]

STEPS: dict[str, Step] = {
    "cycle_time": lambda healthy: max(SHARE_STEP * healthy, 120.0),
    "time_to_4pct": lambda healthy: max(SHARE_STEP * healthy, 120.0),
    "final_moisture": lambda healthy: MOISTURE_STEP,
    "gas_energy": lambda healthy: max(SHARE_STEP * healthy, 1.0e5),
    "electric_energy": lambda healthy: max(SHARE_STEP * healthy, 1.0e5),
    "exhaust_temp_bulk": lambda healthy: TEMPERATURE_STEP,
    "exhaust_temp_max": lambda healthy: PEAK_STEP,
    "load_temp_max": lambda healthy: LOAD_STEP,
    "vent_static": lambda healthy: STATIC_STEP,
    "exhaust_flow": lambda healthy: max(SHARE_STEP * healthy, 1.0e-4),
    "burner_on_mean": lambda healthy: max(STRETCH_STEP * healthy, 5.0),
    "burner_off_mean": lambda healthy: max(STRETCH_STEP * healthy, 5.0),
    "first_light": lambda healthy: max(STRETCH_STEP * healthy, 10.0),
    "motor_power_early": lambda healthy: max(SHARE_STEP * healthy, 10.0),
}
"""Reading of the vocabulary, and its step [SI] given the healthy value."""


def steps_in_words(si: bool = False) -> str:
    """The steps, for the page that uses them.

    >>> steps_in_words()[:36]
    '10 % of times, energy, flow and moto'
    """
    bulk, peak, load = (
        Q.text(step, "temperature difference", si) for step in (TEMPERATURE_STEP, PEAK_STEP, LOAD_STEP)
    )
    return (
        f"10 % of times, energy, flow and motor power; {bulk} in bulk drying, {peak} of exhaust peaks, "
        f"{load} of the load; {Q.text(STATIC_STEP, 'pressure', si)}; 1 % moisture; a third of burner "
        "stretches"
    )


def changes(faulty: Readings, healthy: Readings) -> dict[str, float]:
    """Change of each number in steps; plus or minus infinity where only one of the two has it.

    Parameters
    ----------
    faulty, healthy : Readings
        Two cycles on the same scenario.
    """
    return {name: _in_steps(faulty[name], healthy[name], step) for name, step in STEPS.items()}


def _in_steps(value: float | None, healthy: float | None, step: Step) -> float:
    if value is None or healthy is None:
        return 0.0 if value is healthy else math.inf if healthy is None else -math.inf
    return (value - healthy) / step(healthy)


def sign(change: float) -> int:
    """Direction of a change in steps: 0 when it is less than one.

    >>> sign(0.99), sign(1.0), sign(-3.0)
    (0, 1, -1)
    """
    return (change >= 1.0) - (change <= -1.0)
