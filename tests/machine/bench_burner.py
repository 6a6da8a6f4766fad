"""A burner on the bench: the circuit, valves and flame sensor stepped by a clock of its own.

Small fixed steps, no located switchings: slow, plain, and independent of the cycle's engine.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from dryermodel.machine.circuit import Circuit, Contacts, energise
from dryermodel.machine.ignition import WORKS, Ignition, sensor_contact, valves, warmth_rate

GAS = Circuit(120.0, 4000.0, 45.0, 1300.0, 560.0, 1300.0, 0.0, 0.6, False)


ALL_CLOSED = Contacts(
    supply=True,
    door=True,
    timer_main=True,
    timer_heat=True,
    timer_direct=False,
    automatic=True,
    heat_select=True,
    low_heat=False,
    start=False,
    centrifugal=True,
    exhaust_thermostat=True,
    high_limit=True,
    thermal_cutoff=True,
    flame_sensor=True,
    main_coil_whole=True,
)


class Moment(NamedTuple):
    """What a technician sees through the sight hole."""

    time: float
    igniter: bool
    gas: bool
    flame: bool
    sensor_closed: bool


def watch(
    heat_called: Callable[[float], bool],
    length: float,
    *,
    has_gas: bool = True,
    stuck: int = WORKS,
    warm_up: float = 30.0,
    cool_down: float = 30.0,
    dt: float = 0.05,
) -> list[Moment]:
    """Run the burner for `length` seconds under a heat call that comes and goes."""
    burner, warmth, closed = Ignition(False, False, False), 0.0, sensor_contact(True, 0.0, stuck)
    seen = []
    for step in range(round(length / dt)):
        t = step * dt
        e = energise(ALL_CLOSED._replace(timer_heat=heat_called(t), flame_sensor=closed), GAS)
        burner = valves(burner, e.holding, e.assist, e.main_coil, warmth >= 0.5, has_gas)
        seen.append(Moment(t, e.igniter, burner.gas, burner.flame, closed))
        warmth += dt * warmth_rate(warmth, e.igniter or burner.flame, warm_up, cool_down)
        warmth = round(min(max(warmth, 0.0), 1.0), 12)
        closed = sensor_contact(closed, warmth, stuck)
    return seen


def turns(seen: list[Moment], what: str) -> list[tuple[float, bool]]:
    """Times at which an item of what was seen turned on or off."""
    found, before = [], False
    for moment in seen:
        now = getattr(moment, what)
        if now != before:
            found.append((moment.time, now))
            before = now
    return found
