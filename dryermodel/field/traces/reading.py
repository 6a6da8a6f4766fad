"""A log read from file to measurements: intervals, duty, temperatures of one run."""

from __future__ import annotations

import itertools
import math
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.cycle.result import shares_of_bins
from dryermodel.errors import InputError
from dryermodel.field.traces import temperature as T
from dryermodel.field.traces.current import as_power
from dryermodel.field.traces.outcome import Found, measurements
from dryermodel.field.traces.power import GAS, PowerReading, read_power
from dryermodel.field.traces.runs import Moment, Run, cut_out
from dryermodel.field.traces.spells import Level, Spell
from dryermodel.field.traces.table import EVERYTHING_GUESSED, Options, read_log

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Vector = NDArray[np.float64]

BIN = 300.0
"""Length of the stretches for which the duty is told [s]."""

TO_FLAME = Moment(15.0, 3.0)
"""From igniter-on to flame where a log shows neither [s]: 12 to 16 on one gas machine, measured."""

LATE = 4.0
"""How much later than the burner's switching a probe shows a corner [s], at most; assumed."""


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
    path: Path,
    options: Options = EVERYTHING_GUESSED,
    kind: str | None = None,
    number: int | None = None,
    volts: float = 120.0,
) -> Trace:
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
        raise (
            problem if problem.where.startswith("--") else InputError(problem.message, path.as_posix())
        ) from None
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
    return trace._replace(found=measurements(trace, gas), notes=notes)


def _burns_of_corners(run: Run) -> tuple[Spell, ...]:
    """Burns between the bends of the exhaust temperature."""
    time, values = T.readings_of(run)
    bends = T.corners(time, values)
    return tuple(Spell(_late(on.at), _late(off.at)) for on, off in zip(bends[::2], bends[1::2], strict=False))


def _late(at: Moment) -> Moment:
    """A probe shows a switching somewhat late, by how much is not known."""
    return Moment(max(0.0, at.time - 0.5 * LATE), math.hypot(at.accuracy, LATE / math.sqrt(12.0)))


def _gaps(burns: tuple[Spell, ...], power: PowerReading | None, gas: bool) -> tuple[Spell, ...]:
    """From each flame-out to the next igniter-on, or heater-on."""
    return tuple(
        Spell(before.off, _call(before.off.time, after.on, power, gas))
        for before, after in itertools.pairwise(burns)
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
