"""Power at the plug: motor, igniter, valve coils or heater, one run of the machine.

What the plug takes is a sum of a few loads that switch: the motor, 200 to 250 W and slowly less with the
water; the igniter, 300 to 550 W for some seconds; the valve coils, a few watts while the flame burns; or an
electric heater. See :mod:`dryermodel.field.traces.coils` for the small step of the coils.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.field.traces.coils import FREE, GLOW, HELD, Coils, Readings, decode, placed
from dryermodel.field.traces.runs import Moment, Run, moment, stretches
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

TIMER = Moment(3.0, 1.0)
"""Power of the timer motor, which turns while the heat is off, and its uncertainty [W], common practice."""

RECLOSES = 75.0
"""No flame after a glow: within this the flame sensor recloses and the igniter glows again [s]; 15 to 60 s is
common practice."""

COARSE = 8.0
"""Readings further apart than this may miss a glow [s]."""

METER = 0.01
"""Accuracy of a plug meter [1], assumed; its makers promise 0.5 to 2 % (from memory)."""

WET_FALL = 0.135
"""Share by which the motor's power falls from wet to dry: 12 to 15 % on one gas machine, measured."""

WET = 0.55
"""A burn that ends with more of that fall still to come ended on a wet load [1], assumed."""


class Spell(NamedTuple):
    """Something was on."""

    on: Moment
    off: Moment

    @property
    def length(self) -> Moment:
        """How long [s]."""
        return Moment(self.off.time - self.on.time, math.hypot(self.on.accuracy, self.off.accuracy))


class Level(NamedTuple):
    """A number and its standard deviation."""

    value: float
    accuracy: float


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
    high = float(np.percentile(power[power > base + 0.5 * HEATER], 50.0)) if power.max() > base + HEATER else math.inf
    on = power > 0.5 * (base + high)
    burns = tuple(_spell(log, run, a, b) for a, b in stretches(on))
    motor = np.where(on, np.nan, power)
    rest = motor[np.isfinite(motor)]
    heater = Level(high - base, METER * high) if burns else None
    notes = () if burns else ("the heater never comes on",)
    late = _late(log.time, motor, run, 0.0)
    early = None if len(rest) == 0 or on[: max(2, len(on) // 50)].all() else _early(log.time, motor, 0.0)
    return PowerReading(
        ELECTRIC, (), 0, 0, burns, (False,) * len(burns), None, motor, early, late, None, heater, None,
        _energy(run, log), notes,
    )  # fmt: skip


def _spell(log: Log, run: Run, a: int, b: int) -> Spell:
    """On from reading `a` to reading `b`."""
    n = len(log.time)
    on = moment(log, a - 1) if a > 0 else Moment(0.0, run.start.accuracy)
    off = moment(log, b) if b < n - 1 else Moment(run.end.time - run.start.time, run.end.accuracy)
    return Spell(on, off)


# Gas ----------------------------------------------------------------------------------------------


def _gas(run: Run, log: Log, base: float) -> PowerReading:
    power = log.values["power"]
    glow = power > base + GLOW_RISE
    readings = Readings(log.time, power, glow, not log.steady, log.usual)
    coils = decode(readings)
    motor = _motor(power, coils)
    strokes = _Strokes(run, log, readings, coils)
    lit = tuple(strokes.burns)
    fall = _fall(log.time, motor, lit)
    return PowerReading(
        GAS, tuple(strokes.glows), strokes.failed, strokes.unseen, lit, fall, strokes.time_to_flame(), motor,
        _early(log.time, motor, TIMER.time), _late(log.time, motor, run, TIMER.time), _igniter(log.time, power, coils, motor),
        None, _coil_step(coils, len(lit)), _energy(run, log), _gas_notes(strokes, coils, log),
    )  # fmt: skip


def _motor(power: Vector, coils: Coils) -> Vector:
    """Power of motor and timer motor at each reading [W]; NaN while the igniter glows."""
    lift = np.array([0.0, coils.step, np.nan])
    return np.asarray(power - lift[coils.states])


class _Strokes:
    """Glows and burns, put together from the states of the coils."""

    def __init__(self, run: Run, log: Log, readings: Readings, coils: Coils) -> None:
        self.run, self.log, self.readings, self.coils = run, log, readings, coils
        self.coarse = log.steady and log.usual > COARSE
        self.glows: list[Spell] = []
        self.burns: list[Spell] = []
        self.failed = self.unseen = 0
        self.length = self._mean_glow()
        self._walk()

    def _mean_glow(self) -> float:
        """Mean length of a glow [s] where readings are so far apart that they meet some and miss others."""
        s = self.coils.states
        tries = len(stretches(s == GLOW)) + int(((s[:-1] == FREE) & (s[1:] == HELD)).sum())
        met = int((s == GLOW).sum())
        return self.log.usual * met / tries if tries else 0.0

    def _walk(self) -> None:
        s = self.coils.states
        edges = [0, *(int(i) + 1 for i in np.flatnonzero(np.diff(s))), len(s)]
        parts = [(int(s[a]), a, b - 1) for a, b in zip(edges, edges[1:], strict=False)]
        lit: Moment | None = None
        for rank, (state, a, b) in enumerate(parts):
            after = parts[rank + 1][0] if rank + 1 < len(parts) else None
            if state == GLOW:
                spell = self._glow(a, b)
                self.glows.append(spell)
                lit = spell.off
            elif state == HELD:
                lit = self._burn(lit or self._unseen(a), a, b, after)
            else:
                lit = None

    def _glow(self, a: int, b: int) -> Spell:
        if not self.coarse or b > a:
            return _spell(self.log, self.run, a, b)
        # One reading met it: it began within its length before and ended within it after.
        t, g = float(self.log.time[a]), self.length
        on = max(0.0, t - 0.5 * g)
        return Spell(Moment(on, g / math.sqrt(12.0)), Moment(on + g, g / math.sqrt(12.0)))

    def _unseen(self, a: int) -> Moment:
        """Light between two readings, neither of which met the glow."""
        self.unseen += 1
        if a == 0:
            return Moment(self.length, 0.5 * self.length + 1.0)
        before, after = float(self.log.time[a - 1]), float(self.log.time[a])
        spare = max(1.0, after - before - self.length)
        return Moment(after - 0.5 * spare, spare / math.sqrt(12.0))

    def _burn(self, lit: Moment, a: int, b: int, after: int | None) -> Moment | None:
        """A stretch with the coils held: a burn, or a try that failed."""
        if after == GLOW and float(self.log.time[b]) - lit.time < RECLOSES:
            self.failed += 1
            return None
        if after is None:
            off = Moment(self.run.end.time - self.run.start.time, self.run.end.accuracy)
        elif after == FREE:
            off = self._release(b)
        else:
            off = moment(self.log, b)
        self.burns.append(Spell(lit, off))
        return None

    def _release(self, at: int) -> Moment:
        """When the coils let go, from all places it may have been."""
        places, weight = placed(self.readings, self.coils, at)
        moments = [moment(self.log, int(p)) for p in places]
        times = np.array([m.time for m in moments])
        mean = float(weight @ times)
        spread = float(weight @ (times - mean) ** 2) + float(weight @ np.array([m.accuracy for m in moments]) ** 2)
        return Moment(mean, math.sqrt(spread))

    def time_to_flame(self) -> Level | None:
        """Igniter-on to flame, mean [s]."""
        tries = len(self.glows) + self.unseen
        if not tries or not self.burns:
            return None
        if self.coarse:
            met = self.length / self.log.usual % 1.0
            return Level(self.length, self.log.usual * math.sqrt((met * (1.0 - met) + 0.1) / tries))
        lights = {burn.on.time for burn in self.burns}
        lit = [g.length for g in self.glows if g.off.time in lights]
        if not lit:
            return None
        mean = sum(g.time for g in lit) / len(lit)
        return Level(mean, math.sqrt(sum(g.accuracy**2 for g in lit)) / len(lit))


def _early(time: Vector, motor: Vector, timer: float) -> Level | None:
    """Power of the motor just after the start: a line through the first minutes, taken back to the start."""
    use = np.isfinite(motor) & (time < max(300.0, float(time[0]) + 240.0))
    if use.sum() < 3:
        return None
    t, p = time[use], motor[use]
    middle = np.median(p)
    near = np.abs(p - middle) < 25.0
    t, p = t[near], p[near]
    if len(t) < 3:
        return None
    slope, start = np.polyfit(t, p, 1)
    left = p - start - slope * t
    error = 2.0 * float(np.std(left)) / math.sqrt(len(t))
    return Level(float(start) - timer, math.sqrt(error**2 + (METER * start) ** 2 + (TIMER.accuracy * (timer > 0)) ** 2))


def _late(time: Vector, motor: Vector, run: Run, timer: float) -> Level | None:
    """Power of the motor in its last minutes; none where the log ends before the machine does."""
    use = np.isfinite(motor) & (time > time[-1] - 180.0)
    if use.sum() < 2 or not run.whole[1]:
        return None
    value = float(np.median(motor[use]))
    error = float(np.std(motor[use])) / math.sqrt(use.sum())
    return Level(value - timer, math.sqrt(min(error, 5.0) ** 2 + (METER * value) ** 2 + (TIMER.accuracy * (timer > 0)) ** 2))


def _igniter(time: Vector, power: Vector, coils: Coils, motor: Vector) -> Level | None:
    """Power of the whole machine while the igniter glows before the first flame [W].

    Where no reading met that glow, it is a later one and what the motor has fallen by meanwhile.
    """
    spells = stretches(coils.states == GLOW)
    if not spells:
        return None
    a, b = spells[0]
    value, calm = float(np.median(power[a + (b - a >= 4) : b + 1])), np.isfinite(motor)
    near = calm & (np.abs(time - time[a]) < 150.0)
    first = _early(time, motor, 0.0)
    if time[a] > RECLOSES and near.any() and first is not None:
        value += first.value - float(np.median(motor[near]))
    return Level(value, METER * value + 2.0)


def _fall(time: Vector, motor: Vector, burns: tuple[Spell, ...]) -> tuple[bool, ...]:
    """Whether each burn ended with most of the motor's fall still to come: the load was wet."""
    early = _early(time, motor, 0.0)
    if early is None:
        return (False,) * len(burns)
    wet = []
    for burn in burns:
        near = np.isfinite(motor) & (np.abs(time - burn.off.time) < 90.0)
        fallen = 1.0 - float(np.median(motor[near])) / early.value if near.any() else 1.0
        wet.append(1.0 - fallen / WET_FALL > WET)
    return tuple(wet)


def _coil_step(coils: Coils, burns: int) -> Level | None:
    return Level(coils.step, max(0.3, coils.noise / math.sqrt(max(1, 5 * burns)))) if burns else None


def _energy(run: Run, log: Log) -> Level:
    """Electricity of the run [J]; a report of a change holds until the next one."""
    power, time = log.values["power"], log.time
    edges = np.concatenate([[0.0], time, [run.end.time - run.start.time]])
    width = np.diff(edges)
    if log.steady:
        share = 0.5 * (np.append(power[0], power) + np.append(power, power[-1]))
    else:
        share = np.append(power[0], power)
    total = float(np.sum(share * width))
    rough = 120.0 * log.usual if log.steady and log.usual > COARSE else 0.0
    return Level(total, math.hypot(METER * total, 10.0 * rough))


def _gas_notes(strokes: _Strokes, coils: Coils, log: Log) -> tuple[str, ...]:
    notes = []
    if strokes.coarse:
        notes.append(
            f"a reading every {log.usual:.3g} s misses glows: {strokes.unseen} lights between two readings are "
            "inferred from the coils"
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
