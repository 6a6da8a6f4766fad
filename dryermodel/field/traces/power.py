"""Power at the plug: motor, igniter, valve coils or heater, one run of the machine.

What the plug takes is a sum of a few loads that switch: the motor, 200 to 250 W and slowly less with the
water; the igniter, 300 to 550 W for some seconds; the valve coils, a few watts while the flame burns; or an
electric heater. See :mod:`dryermodel.field.traces.coils` for the small step of the coils.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.field.traces import levels as L
from dryermodel.field.traces.coils import decode
from dryermodel.field.traces.runs import Run, stretches
from dryermodel.field.traces.samples import Coils, Readings, against
from dryermodel.field.traces.spells import Level, Spell, spell
from dryermodel.field.traces.strokes import Strokes
from dryermodel.field.traces.table import Log

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Vector = NDArray[np.float64]

GAS, ELECTRIC = "gas", "electric"

HEATER = 1000.0
"""A rise above the motor by more than this is an electric heater [W], common practice."""

GLOW_RISE = 150.0
"""A rise by more than this is an igniter [W]; those in use take 300 to 550 W hot, common practice."""

MOTOR = (120.0, 450.0)
"""Between these the motor's power lies [W], common practice."""


class PowerReading(NamedTuple):
    """What a log of power says of one run; times since its start."""

    kind: str
    glows: tuple[Spell, ...]  # of the igniter, failed tries among them
    failed: int  # tries without flame
    unseen: int  # glows between two readings
    burns: tuple[Spell, ...]  # with flame, or with the heater on
    wet: tuple[bool, ...]  # whether a burn ended on a wet load, as far as the motor's power tells
    time_to_flame: Level | None  # [s]
    motor: Vector  # [W] at each reading, NaN where it cannot be told
    motor_early: Level | None  # [W]
    motor_late: Level | None  # [W]
    igniter: Level | None  # [W] whole machine while it glows
    heater: Level | None  # [W] alone
    coil_step: Level | None  # [W]
    energy: Level  # [J]
    notes: tuple[str, ...]


def read_power(run: Run, kind: str | None = None) -> PowerReading:
    """Read what was on when from the power at the plug.

    Parameters
    ----------
    run : Run
        One run, with readings of power.
    kind : str, optional
        "gas" or "electric"; told from the power without it.
    """
    log = _numbered(run.log)
    power = log.values["power"]
    base = _base(power)
    found = kind or (ELECTRIC if _top(power) - base > HEATER else GAS)
    note = () if kind else (f"taken as {'an electric' if found == ELECTRIC else 'a gas'} machine",)
    reading = _electric(run, log, base) if found == ELECTRIC else _gas(run, log, base)
    return reading._replace(notes=(*note, *reading.notes))


def _numbered(log: Log) -> Log:
    """Readings that have a power."""
    good = np.isfinite(log.values["power"])
    return log._replace(time=log.time[good], values={k: v[good] for k, v in log.values.items()})


def _base(power: Vector) -> float:
    """Power of the motor alone, roughly [W]."""
    low = float(np.percentile(power, 8.0))
    return low if low < MOTOR[1] else 0.5 * sum(MOTOR)


def _top(power: Vector) -> float:
    """What the machine takes at most, a jolt at the start aside [W]."""
    return float(np.sort(power)[-max(2, len(power) // 500)]) if len(power) > 2 else float(power.max())


# Electric -----------------------------------------------------------------------------------------


def _electric(run: Run, log: Log, base: float) -> PowerReading:
    power = log.values["power"]
    high = (
        float(np.percentile(power[power > base + 0.5 * HEATER], 50.0))
        if power.max() > base + HEATER
        else math.inf
    )
    on = power > 0.5 * (base + high)
    burns = tuple(spell(log, run, a, b) for a, b in stretches(on))
    motor = np.where(on, np.nan, power)
    rest = motor[np.isfinite(motor)]
    heater = Level(high - base, L.METER * high) if burns else None
    notes = () if burns else ("the heater never comes on",)
    late = L.late(log.time, motor, run)
    early = None if len(rest) == 0 or on[: max(2, len(on) // 50)].all() else L.early(log.time, motor)
    return PowerReading(
        ELECTRIC, (), 0, 0, burns, (False,) * len(burns), None, motor, early, late, None, heater, None,
        L.energy(run, log), notes,
    )  # fmt: skip


# Gas ----------------------------------------------------------------------------------------------


def _gas(run: Run, log: Log, base: float) -> PowerReading:
    power = log.values["power"]
    glow = power > base + GLOW_RISE
    readings = Readings(log.time, power, glow, not log.steady, log.usual)
    if "temperature" in log.values:
        held, free = against(log.time, log.values["temperature"])
        readings = readings._replace(against_held=held, against_free=free)
    coils = decode(readings)
    motor = _motor(power, coils)
    strokes = Strokes(run, log, readings, coils)
    lit = tuple(strokes.burns)
    return PowerReading(
        GAS,
        tuple(strokes.glows),
        strokes.failed,
        strokes.unseen,
        lit,
        L.ended_wet(log.time, motor, lit),
        strokes.time_to_flame(),
        motor,
        L.early(log.time, motor, L.TIMER),
        L.late(log.time, motor, run, L.TIMER),
        L.igniter(log.time, power, coils, motor),
        None,
        L.coil_step(coils, len(lit)),
        L.energy(run, log),
        _gas_notes(strokes, coils, log),
    )


def _motor(power: Vector, coils: Coils) -> Vector:
    """Power of motor and timer motor at each reading [W]; NaN while the igniter glows."""
    lift = np.array([0.0, coils.step, np.nan])
    return np.asarray(power - lift[coils.states])


def _gas_notes(strokes: Strokes, coils: Coils, log: Log) -> tuple[str, ...]:
    notes = []
    if strokes.coarse:
        notes.append(
            f"a reading every {log.usual:.3g} s misses glows: {strokes.unseen} lights between two readings "
            "are inferred from the coils"
        )
    if not strokes.glows:
        notes.append("no glow of the igniter is seen")
    elif strokes.failed:
        notes.append(f"{strokes.failed} tries to light brought no flame that held")
    longest = max((g.length.time for g in strokes.glows), default=0.0)
    if longest > 90.0:
        notes.append(f"the igniter glows for {longest:.0f} s in one go, which no healthy one does")
    if strokes.burns:
        notes.append(f"valve coils let go in a step of {coils.step:.1f} W, in a noise of {coils.noise:.1f} W")
    return tuple(notes)
