"""What a log says of one run: intervals, duty, temperatures, and measurements with their accuracy."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.cycle.result import shares_of_bins
from dryermodel.errors import InputError
from dryermodel.field.traces import temperature as T
from dryermodel.field.traces.current import as_power
from dryermodel.field.traces.limit import trips
from dryermodel.field.traces.power import COARSE, GAS, Level, PowerReading, Spell, read_power
from dryermodel.field.traces.runs import Moment, Run, cut_out
from dryermodel.field.traces.table import Log, Options, read_log

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Vector = NDArray[np.float64]

BIN = 300.0
"""Length of the stretches for which the duty is told [s]."""

TO_FLAME = Moment(15.0, 3.0)
"""From igniter-on to flame where a log shows neither [s]: 12 to 16 on one gas machine, measured."""

LATE = 4.0
"""How much later than the burner's switching a probe shows a corner [s], at most; assumed."""

KINDS = {
    "cycle time": "time", "first burn": "time", "burner on early": "time", "burner off early": "time",
    "burner on late": "time", "burner off late": "time", "burner cycles": "number", "ignition tries": "number",
    "time to flame": "time", "exhaust temperature": "temperature", "cut-out temperature": "temperature",
    "cut-in temperature": "temperature", "peak exhaust temperature": "temperature",
    "motor power early": "power", "motor power late": "power", "igniter power": "power",
    "motor current": "current", "igniter current": "current",
    "high-limit trips": "number", "electricity used": "energy",
}  # fmt: skip
"""Kind of quantity of each measurement a log may give."""

SI_UNITS = {"time": "s", "number": "", "temperature": "K", "power": "W", "current": "A", "energy": "J"}


class Found(NamedTuple):
    """A measurement in SI."""

    name: str  # a key of KINDS
    value: float
    accuracy: float  # one standard deviation


class Temperatures(NamedTuple):
    """What the exhaust temperature shows."""

    steady: float | None  # [K]
    cut_outs: tuple[float, ...]  # [K]
    cut_ins: tuple[float, ...]  # [K]
    peak: float  # [K]
    constants: T.Constants


class Trace(NamedTuple):
    """A log that was read."""

    run: Run
    power: PowerReading | None
    temperatures: Temperatures | None
    burns: tuple[Spell, ...]
    wet: tuple[bool, ...]  # burns that ended on a wet load
    gaps: tuple[Spell, ...]  # from flame-out to the next igniter-on
    duty: tuple[tuple[float, float], ...]  # start of each stretch [s], share with heat [1]
    found: tuple[Found, ...]
    notes: tuple[str, ...]


def read_trace(
    path: Path, options: Options = Options(), kind: str | None = None, number: int | None = None,  # noqa: B008
    volts: float = 120.0,
) -> Trace:  # fmt: skip
    """Read a logger's file.

    Parameters
    ----------
    path : Path
        The file.
    options : Options
        What is known about it.
    kind : str, optional
        "gas" or "electric"; told from the power without it.
    number : int, optional
        Which run of several, counted from 1; the longest without it.
    volts : float
        Line voltage, for a log of current [V].

    Raises
    ------
    InputError
        The file cannot be read as a log, or the machine never runs in it.
    """
    log = read_log(path, options)
    notes: tuple[str, ...] = ()
    if "power" not in log.values and "current" in log.values:
        log, notes = as_power(log, volts)
    try:
        trace = read_run(cut_out(log, number), kind)
    except InputError as problem:
        raise problem if problem.where.startswith("--") else InputError(problem.message, path.as_posix()) from None
    return trace._replace(notes=(*log.notes, *notes, *trace.notes))


def read_run(run: Run, kind: str | None = None) -> Trace:
    """Read one run of a log with power, temperature or both."""
    power = read_power(run, kind) if "power" in run.log.values else None
    gas = (power.kind if power else kind or GAS) == GAS
    if power is not None:
        burns, wet = power.burns, power.wet
    else:
        burns = _burns_of_corners(run)
        wet = (False,) * len(burns)
    gaps = _gaps(burns, power, gas)
    temperatures = _temperatures(run, burns, gaps) if "temperature" in run.log.values else None
    trace = Trace(run, power, temperatures, burns, wet, gaps, _duty(run, burns), (), ())
    notes = (*run.notes, *(power.notes if power else ()))
    return trace._replace(found=tuple(_found(trace, gas)), notes=notes)


def _burns_of_corners(run: Run) -> tuple[Spell, ...]:
    """Burns between the bends of the exhaust temperature."""
    time, values = T.readings_of(run)
    bends = T.corners(time, values)
    return tuple(
        Spell(_late(on.at), _late(off.at)) for on, off in zip(bends[::2], bends[1::2], strict=False)
    )


def _late(at: Moment) -> Moment:
    """A probe shows a switching somewhat late, by how much is not known."""
    return Moment(at.time - 0.5 * LATE, math.hypot(at.accuracy, LATE / math.sqrt(12.0)))


def _gaps(burns: tuple[Spell, ...], power: PowerReading | None, gas: bool) -> tuple[Spell, ...]:
    """From each flame-out to the next igniter-on, or heater-on."""
    return tuple(
        Spell(before.off, _call(before.off.time, after.on, power, gas))
        for before, after in zip(burns, burns[1:], strict=False)
    )


def _call(since: float, lit: Moment, power: PowerReading | None, gas: bool) -> Moment:
    """When heat was called for: the first glow in a gap, or so long before the flame as is usual."""
    if not gas:
        return lit
    glows = power.glows if power else ()
    first = next((g.on for g in glows if since - 1e-6 <= g.on.time <= lit.time + 1e-6), None)
    if first is not None:
        return first
    usual = power.time_to_flame if power and power.time_to_flame else Level(*TO_FLAME)
    return Moment(max(since, lit.time - usual.value), math.hypot(lit.accuracy, usual.accuracy))


def _duty(run: Run, burns: tuple[Spell, ...]) -> tuple[tuple[float, float], ...]:
    end = run.end.time - run.start.time
    edges = np.append(np.arange(0.0, end, BIN), end)
    share = shares_of_bins([(b.on.time, b.off.time) for b in burns], edges)
    return tuple((float(a), float(s)) for a, s in zip(edges, share, strict=False))


def _temperatures(run: Run, burns: tuple[Spell, ...], gaps: tuple[Spell, ...]) -> Temperatures | None:
    time, values = T.readings_of(run)
    if len(time) < 5:
        return None
    outs = tuple(T.temperature_at(time, values, b.off.time, b.on.time) for b in burns)
    ins = tuple(T.temperature_at(time, values, gap.off.time, gap.on.time) for gap in gaps)
    steady = T.steady(time, values, burns[0]) if burns else None
    return Temperatures(steady, outs, ins, float(values.max()), T.time_constants(time, values, burns))


# Measurements -------------------------------------------------------------------------------------


def _found(trace: Trace, gas: bool) -> list[Found]:
    """Everything that a visit can use, in the order of KINDS."""
    all_of = {**_of_time(trace), **_of_power(trace, gas), **_of_temperature(trace)}
    known = {name: level for name, level in all_of.items() if level is not None}
    return [Found(name, *known[name]) for name in KINDS if name in known]


def by_thermostat(trace: Trace) -> tuple[list[Spell], list[Spell]]:
    """Burns after the first cut-out that the thermostat ended, and gaps that it began and a burn followed.

    Burns that the high limit ended are left out as far as the log tells, and one that the end of the run cut short.
    """
    limit = _trips(trace)
    first = limit[2] if limit else 0
    end = trace.run.end.time - trace.run.start.time
    strokes = [b for b in trace.burns[first + 1 :] if b.off.time < end - 1e-6]
    return strokes, list(trace.gaps[first:])


def _halves(spells: list[Spell]) -> tuple[Level | None, Level | None]:
    """Mean length of the first and of the last half, the middle one in both [s]."""
    half = (len(spells) + 1) // 2
    return (_mean(spells[:half]), _mean(spells[-half:])) if spells else (None, None)


def _mean(spells: list[Spell]) -> Level:
    lengths = [s.length for s in spells]
    n = len(lengths)
    return Level(sum(x.time for x in lengths) / n, max(0.3, math.sqrt(sum(x.accuracy**2 for x in lengths)) / n))


def _of_time(trace: Trace) -> dict[str, Level | None]:
    strokes, gaps = by_thermostat(trace)
    on, off = _halves(strokes), _halves(gaps)
    whole = all(trace.run.whole)
    known_start = trace.run.whole[0] or trace.power is None
    length = trace.run.end.time - trace.run.start.time
    first = trace.burns[0].length if trace.burns and known_start else None
    return {
        "cycle time": Level(length, max(0.5, math.hypot(trace.run.start.accuracy, trace.run.end.accuracy)))
        if whole
        else None,
        "first burn": Level(first.time, max(0.5, first.accuracy)) if first else None,
        "burner on early": on[0],
        "burner on late": on[1],
        "burner off early": off[0],
        "burner off late": off[1],
        "burner cycles": Level(float(len(trace.burns)), _count_error(trace)) if whole or not trace.power else None,
    }


def _count_error(trace: Trace) -> float:
    p = trace.power
    if p is None:
        return 0.5
    coarse = trace.run.log.steady and trace.run.log.usual > COARSE
    return (0.7 if coarse else 0.2) + 0.15 * p.unseen


def _trips(trace: Trace) -> tuple[float, float, int] | None:
    """Trips of the high limit, their uncertainty, and how many burns at first are its own."""
    outs = trace.temperatures.cut_outs if trace.temperatures else ()
    return trips(trace.wet, [gap.length.time for gap in trace.gaps], outs)


def _of_power(trace: Trace, gas: bool) -> dict[str, Level | None]:
    p = trace.power
    if p is None:
        return {}
    watts = "current" not in trace.run.log.values
    whole = all(trace.run.whole)
    limit = _trips(trace)
    tries = Level(float(len(p.glows) + p.unseen), _count_error(trace)) if gas and whole else None
    return {
        "ignition tries": tries,
        "time to flame": Level(p.time_to_flame.value, max(0.3, p.time_to_flame.accuracy)) if p.time_to_flame else None,
        "high-limit trips": Level(*limit[:2]) if limit else None,
        "motor power early": p.motor_early if watts and trace.run.whole[0] else None,
        "motor power late": p.motor_late if watts else None,
        "igniter power": p.igniter if watts and gas else None,
        "electricity used": p.energy if watts and whole else None,
        **({} if watts else _of_current(trace, p)),
    }


def _of_current(trace: Trace, p: PowerReading) -> dict[str, Level | None]:
    """Current with the heat off after the first burn, and while the igniter glows [A]."""
    amperes, time = trace.run.log.values["current"], trace.run.log.time
    found: dict[str, Level | None] = {}
    for name, spells in (("motor current", trace.gaps[:1]), ("igniter current", p.glows[:1])):
        inside = np.zeros(len(time), dtype=np.bool_)
        for s in spells:
            inside |= (time > s.on.time + 2.0) & (time < s.off.time - 0.5)
        if inside.any():
            value = float(np.nanmedian(amperes[inside]))
            found[name] = Level(value, 0.02 * value + 0.02)
    return found


def _of_temperature(trace: Trace) -> dict[str, Level | None]:
    t = trace.temperatures
    if t is None:
        return {}
    # What the time of the switching is uncertain by, at the usual 0.15 K/s, and what a probe lags.
    slow = 0.8 + 0.15 * float(np.median([b.off.accuracy for b in trace.burns] or [0.0]))
    limit = _trips(trace)
    outs, ins = (t.cut_outs[limit[2] :], t.cut_ins[limit[2] :]) if limit else (t.cut_outs, t.cut_ins)
    return {
        "exhaust temperature": Level(t.steady, T.PROBE) if t.steady and not any(trace.wet) else None,
        "cut-out temperature": Level(outs[-1], math.hypot(T.PROBE, slow)) if outs else None,
        "cut-in temperature": Level(ins[-1], math.hypot(T.PROBE, slow)) if ins else None,
        "peak exhaust temperature": Level(max(t.cut_outs), math.hypot(T.PROBE, slow)) if t.cut_outs else None,
    }


def as_toml(found: tuple[Found, ...]) -> str:
    """Return measurements as they stand in a visit file, times, numbers and powers in SI, degrees in degC.

    Examples
    --------
    >>> print(as_toml((Found("cycle time", 2905.0, 0.5),)))
    [[measurement]]
    name = "cycle time"
    value = "2905 s"
    accuracy = "0.5 s"
    <BLANKLINE>
    """
    return "\n".join(_entry(f) for f in found)


def _entry(found: Found) -> str:
    kind = KINDS[found.name]
    value, accuracy, unit = f"{found.value:.6g}", f"{found.accuracy:.2g}", SI_UNITS[kind]
    if kind == "temperature":
        return _lines(found.name, f"{found.value - 273.15:.2f} degC", f"{accuracy} delta_degC")
    if kind == "energy":
        return _lines(found.name, f"{found.value / 3.6e6:.5g} kWh", f"{found.accuracy / 3.6e6:.2g} kWh")
    return _lines(found.name, f"{value} {unit}".strip(), f"{accuracy} {unit}".strip())


def _lines(name: str, value: str, accuracy: str) -> str:
    return f'[[measurement]]\nname = "{name}"\nvalue = "{value}"\naccuracy = "{accuracy}"\n'
