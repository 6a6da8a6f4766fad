"""Power of motor, igniter and coils, and the electricity of a run."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from dryermodel.field.traces.runs import COARSE, Run, stretches
from dryermodel.field.traces.samples import GLOW, Coils
from dryermodel.field.traces.spells import Level, Spell
from dryermodel.field.traces.table import Log

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Vector = NDArray[np.float64]

TIMER = Level(3.0, 1.0)
"""Power of the timer motor, which turns while the heat is off, and its uncertainty [W], common practice."""

FIRST_GLOW = 75.0
"""A glow that begins later than this is not the first one [s]."""

GLOWS_MISSED = 1200.0
"""What glows that are met or missed add to the electricity's uncertainty, for each second between readings
[J/s]: some six of 480 W."""

METER = 0.01
"""Accuracy of a plug meter [1], assumed; its makers promise 0.5 to 2 % (from memory)."""

WET_FALL = 0.135
"""Share by which the motor's power falls from wet to dry: 12 to 15 % on one gas machine, measured."""

WET = 0.55
"""A burn that ends with more of that fall still to come ended on a wet load [1], assumed."""


NO_TIMER = Level(0.0, 0.0)
"""Where the timer motor's power is not to be taken off, or there is none."""

ODD = 25.0
"""Readings farther from the others than this are none of the motor alone [W]."""


def early(time: Vector, motor: Vector, timer: Level = NO_TIMER) -> Level | None:
    """Power of the motor just after the start [W]: a line through the first minutes, taken back to it.

    Parameters
    ----------
    time, motor : array of float, shape (n,)
        Readings [s], [W], NaN where something else runs as well.
    timer : Level
        Power of the timer motor that is in them [W].
    """
    use = np.isfinite(motor) & (time < max(300.0, float(time[0]) + 240.0))
    if use.sum() < 3:
        return None
    t, p = time[use], motor[use]
    near = np.abs(p - np.median(p)) < ODD
    t, p = t[near], p[near]
    if len(t) < 3:
        return None
    slope, start = np.polyfit(t, p, 1)
    left = p - start - slope * t
    error = 2.0 * float(np.std(left)) / math.sqrt(len(t))
    return Level(float(start) - timer.value, math.hypot(error, METER * start, timer.accuracy))


def late(time: Vector, motor: Vector, run: Run, timer: Level = NO_TIMER) -> Level | None:
    """Power of the motor in its last minutes [W]; None where the log ends before the machine does.

    Parameters
    ----------
    time, motor, timer
        As in :func:`early`.
    run : Run
        The run.
    """
    use = np.isfinite(motor) & (time > time[-1] - 180.0)
    if use.sum() < 2 or not run.whole[1]:
        return None
    value = float(np.median(motor[use]))
    error = min(float(np.std(motor[use])) / math.sqrt(use.sum()), 5.0)
    return Level(value - timer.value, math.hypot(error, METER * value, timer.accuracy))


def igniter(time: Vector, power: Vector, coils: Coils, motor: Vector) -> Level | None:
    """Power of the whole machine while the igniter glows before the first flame [W].

    Where no reading met that glow, it is a later one and what the motor has fallen by meanwhile.
    """
    spells = stretches(coils.states == GLOW)
    if not spells:
        return None
    a, b = spells[0]
    value, calm = float(np.median(power[a + (b - a >= 4) : b + 1])), np.isfinite(motor)
    near = calm & (np.abs(time - time[a]) < 150.0)
    first = early(time, motor)
    if time[a] > FIRST_GLOW and near.any() and first is not None:
        value += first.value - float(np.median(motor[near]))
    return Level(value, METER * value + 2.0)


def ended_wet(time: Vector, motor: Vector, burns: tuple[Spell, ...]) -> tuple[bool, ...]:
    """Whether each burn ended with most of the motor's fall still to come: the load was wet.

    Parameters
    ----------
    time, motor
        As in :func:`early`.
    burns : tuple of Spell
        With flame.
    """
    first = early(time, motor)
    if first is None:
        return (False,) * len(burns)
    wet = []
    for burn in burns:
        near = np.isfinite(motor) & (np.abs(time - burn.off.time) < 90.0)
        fallen = 1.0 - float(np.median(motor[near])) / first.value if near.any() else 1.0
        wet.append(1.0 - fallen / WET_FALL > WET)
    return tuple(wet)


def coil_step(coils: Coils, burns: int) -> Level | None:
    """Step of the coils [W], known the better the more burns there are; None without any."""
    return Level(coils.step, max(0.3, coils.noise / math.sqrt(max(1, 5 * burns)))) if burns else None


def energy(run: Run, log: Log) -> Level:
    """Electricity of the run [J]; a report of a change holds until the next one."""
    power, time = log.values["power"], log.time
    edges = np.concatenate([[0.0], time, [run.end.time - run.start.time]])
    width = np.diff(edges)
    if log.steady:
        share = 0.5 * (np.append(power[0], power) + np.append(power, power[-1]))
    else:
        share = np.append(power[0], power)
    total = float(np.sum(share * width))
    rough = GLOWS_MISSED * log.usual if log.steady and log.usual > COARSE else 0.0
    return Level(total, math.hypot(METER * total, rough))
