"""Readings that a machine cannot give, whatever is wrong with it."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from typing import NamedTuple

from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.field.contradictions import SURE, Conflict, Told
from dryermodel.field.evidence import said, told
from dryermodel.field.measurements import ADVANCE
from dryermodel.field.round import gas_only, is_electric
from dryermodel.physics import moist_air
from dryermodel.scenario.model import Scenario

PLATE_TIMES = 4.0
"""Times the plate's input that no wrong orifice or gas explains: propane through
the orifice of natural gas is 2.5 times."""

SPARE = 1.15
"""[1] Of blower pressure and free delivery, for cold or hot air, wind and a fan curve that is assumed."""


EXHAUST = ("exhaust temperature", "peak exhaust temperature", "cut-out temperature", "cut-in temperature")
"""Temperatures of the exhaust."""


class Machine:
    """What bounds the readings of a machine, whatever is wrong with it."""

    def __init__(self, scenario: Scenario) -> None:
        self.electric = is_electric(scenario)
        self.numbers: Parameters = scenario.with_faults({}).to_parameters()
        self.humidity: float = scenario.model.room.relative_humidity

    @property
    def free_delivery(self) -> float:
        """Blower flow against no resistance at all [m3/s]."""
        return math.sqrt(self.numbers.fan_dead_head / self.numbers.fan_slope) * max(
            1.0, self.numbers.fan_speed
        )

    @property
    def dead_head(self) -> float:
        """Blower pressure at no flow [Pa]."""
        return self.numbers.fan_dead_head * max(1.0, self.numbers.fan_speed) ** 2


def _no_gas(known: Told, machine: Machine) -> Iterator[Conflict]:
    if not machine.electric:
        return
    for one in known.measured:
        if gas_only(one.measurement):
            yield Conflict(f"{told(one)}: this machine heats with electricity", (one.name,), True)
    for seen in known.seen:
        if gas_only(seen.observation):
            text = f"{seen.name}: this machine heats with electricity; leave it out"
            yield Conflict(text, (seen.name,), True)


class Bound(NamedTuple):
    """A measurement that no machine of a kind can exceed, and how that is told."""

    name: str
    most: Callable[[Machine], float]  # [SI]
    unit: str
    why: str  # with the most in braces


BOUNDS = (
    Bound(
        "vent static",
        lambda machine: machine.dead_head,
        "inH2O",
        "this machine's blower builds {} against a shut vent (air.fan_dead_head); look at the manometer's "
        "zero and scale",
    ),
    Bound(
        "exhaust flow",
        lambda machine: machine.free_delivery,
        "cfm",
        "this machine's blower moves {} with nothing in its way (air.fan_free_delivery); look at the area "
        "the speed was taken over",
    ),
)
"""What the blower bounds."""


def _beyond_the_blower(known: Told, machine: Machine) -> Iterator[Conflict]:
    for bound in BOUNDS:
        most = bound.most(machine)
        for one in known.of(bound.name):
            if one.value - SURE * one.accuracy > most * SPARE:
                text = f"{told(one)}: {bound.why.format(said(most, bound.unit))}"
                yield Conflict(text, (one.name,), True)


def _input(known: Told, machine: Machine) -> Iterator[Conflict]:
    plate = machine.numbers.firing_rate
    for one in known.of("gas input"):
        if one.value > PLATE_TIMES * plate:
            text = (
                f"{told(one)} is {one.value / plate:.1f} times the plate's {said(plate, 'Btu/h')}: no "
                "orifice or gas does that; look at the size of the dial, and for other appliances burning"
            )
            yield Conflict(text, (one.name,), True)


def _cold(known: Told, machine: Machine) -> Iterator[Conflict]:
    """Exhaust is warmer than the room while the burner works, and than its wet bulb in any case."""
    room, by = _room(known, machine)
    dark = known.answers.get("flame seen") is False or known.answers.get("igniter glows") is False
    dark = dark or any(one.value < 0.5 for one in known.of("burner cycles"))
    for one in (m for name in EXHAUST for m in known.of(name)):
        unlit = dark or one.number == "heat_off_exhaust_temp"
        least = _wet_bulb(room, known, machine) if unlit else room
        if one.value + SURE * one.accuracy < least:
            yield Conflict(f"{told(one)}: {_why_cold(unlit, room, by)}", (one.name,), True)


def _why_cold(unlit: bool, room: float, by: str) -> str:
    if unlit:
        return f"colder than wet cloth gets in a room of {said(room, 'degF')}{by}"
    return (
        f"colder than the room, {said(room, 'degF')}{by}, which cannot be while the burner works; "
        "if it never lit, answer 'flame seen' with no"
    )


def _room(known: Told, machine: Machine) -> tuple[float, str]:
    """Room temperature [K], and how it is known."""
    measured = known.of("room temperature")
    return (measured[0].value, "") if measured else (machine.numbers.room_temp, " by the scenario")


def _wet_bulb(room: float, known: Told, machine: Machine) -> float:
    measured = known.of("room humidity")
    humidity = measured[0].value - SURE * measured[0].accuracy if measured else 0.5 * machine.humidity
    ratio = moist_air.humidity_ratio_from_rh(room, max(humidity, 0.0), machine.numbers.pressure)
    return moist_air.wet_bulb(room, ratio, machine.numbers.pressure)


def _advance(known: Told, machine: Machine) -> Iterator[Conflict]:
    """The dial turns no faster than the clock."""
    for one in known.measured:
        if one.name.startswith(ADVANCE + " "):
            start, end = (60.0 * float(minute) for minute in re.findall(r"\d+", one.number))
            if one.value - SURE * one.accuracy > end - start:
                text = f"{told(one)}: the dial turns no faster than the clock"
                yield Conflict(text, (one.name,), True)


IMPOSSIBLE: tuple[Callable[[Told, Machine], Iterator[Conflict]], ...] = (
    _no_gas, _beyond_the_blower, _input, _cold, _advance,
)  # fmt: skip
"""Every rule: told what is known and the machine, it yields what cannot be."""
