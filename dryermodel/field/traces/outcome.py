"""Measurements that a log gives, each with its accuracy, ready for a visit."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.field.traces import temperature as T
from dryermodel.field.traces.limit import trips
from dryermodel.field.traces.power import PowerReading
from dryermodel.field.traces.runs import COARSE
from dryermodel.field.traces.spells import Level, Spell
from dryermodel.field.visit_text import entry_block

if TYPE_CHECKING:
    from dryermodel.field.traces.reading import Trace

KINDS = {
    "cycle time": "time", "first burn": "time", "burner on early": "time", "burner off early": "time",
    "burner on late": "time", "burner off late": "time", "burner cycles": "number",
    "ignition tries": "number", "time to flame": "time", "exhaust temperature": "temperature",
    "cut-out temperature": "temperature", "cut-in temperature": "temperature",
    "peak exhaust temperature": "temperature",
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


def measurements(trace: Trace, gas: bool) -> tuple[Found, ...]:
    """Everything that a visit can use, in the order of KINDS.

    Parameters
    ----------
    trace : Trace
        A run whose switchings and temperatures were read.
    gas : bool
        A gas machine.
    """
    all_of = {**_of_time(trace), **_of_power(trace, gas), **_of_temperature(trace)}
    known = {name: level for name, level in all_of.items() if level is not None}
    return tuple(Found(name, *known[name]) for name in KINDS if name in known)


def by_thermostat(trace: Trace) -> tuple[list[Spell], list[Spell]]:
    """Burns after the first cut-out that the thermostat ended, and gaps that it began and a burn followed.

    Burns that the high limit ended are left out as far as the log tells, and one that the end of the run cut
    short.
    """
    limit = _trips(trace)
    first = limit[2] if limit else 0
    end = trace.run.end.time - trace.run.start.time
    strokes = [b for b in trace.burns[first + 1 :] if b.off.time < end - 1e-6]
    return strokes, list(trace.gaps[first:])


FAINT = 2.0
"""Strokes read from power alone by a logger that misses glows are so much less sure than steps say [1]: in
logs of modelled machines, where some are misread."""


def _sureness(trace: Trace) -> float:
    """Factor on the accuracy of strokes [1]."""
    log = trace.run.log
    return FAINT if trace.power and log.steady and log.usual > COARSE and not trace.temperatures else 1.0


def _halves(spells: list[Spell], alike: bool) -> tuple[Level | None, Level | None]:
    """Mean length of the first and of the last half, the middle one in both [s].

    Where a logger's readings start anew with each change that it reports, they fall on the same part of every
    stroke, and the error of one is that of all (`alike`).
    """
    half = (len(spells) + 1) // 2
    return (_mean(spells[:half], alike), _mean(spells[-half:], alike)) if spells else (None, None)


def _mean(spells: list[Spell], alike: bool) -> Level:
    lengths = [s.length for s in spells]
    n = len(lengths)
    error = math.sqrt(sum(x.accuracy**2 for x in lengths) / n)
    return Level(sum(x.time for x in lengths) / n, max(0.3, error if alike else error / math.sqrt(n)))


def _of_time(trace: Trace) -> dict[str, Level | None]:
    strokes, gaps = by_thermostat(trace)
    alike = not trace.run.log.steady
    sure = _sureness(trace)
    on, off = _halves(strokes, alike), _halves(gaps, alike)
    halves = zip(
        ("burner on early", "burner on late", "burner off early", "burner off late"), (*on, *off), strict=True
    )
    whole = all(trace.run.whole)
    known_start = trace.run.whole[0] or trace.power is None
    length = trace.run.end.time - trace.run.start.time
    first = trace.burns[0].length if trace.burns and known_start else None
    return {
        "cycle time": Level(length, max(0.5, math.hypot(trace.run.start.accuracy, trace.run.end.accuracy)))
        if whole
        else None,
        "first burn": Level(first.time, max(0.5, first.accuracy * sure)) if first else None,
        **{name: half and Level(half.value, half.accuracy * sure) for name, half in halves},
        "burner cycles": Level(float(len(trace.burns)), _count_error(trace))
        if whole or not trace.power
        else None,
    }


def _count_error(trace: Trace) -> float:
    p = trace.power
    if p is None:
        return 0.5
    coarse = trace.run.log.steady and trace.run.log.usual > COARSE
    return (0.7 if coarse else 0.2) + 0.15 * p.unseen


def _trips(trace: Trace) -> tuple[float, float, int] | None:
    """Trips of the high limit, their uncertainty, and how many burns at first are its own."""
    lengths = [gap.length for gap in trace.gaps]
    sharp = all(length.accuracy < 0.15 * length.time for length in lengths)
    outs = trace.temperatures.cut_outs if trace.temperatures else ()
    return trips(trace.wet, [length.time for length in lengths], outs, 1 if sharp else 2)


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
        "time to flame": Level(p.time_to_flame.value, max(0.3, p.time_to_flame.accuracy))
        if p.time_to_flame
        else None,
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
        "cut-out temperature": Level(_last(outs), math.hypot(T.PROBE, slow)) if outs else None,
        "cut-in temperature": Level(_last(ins), math.hypot(T.PROBE, slow)) if ins else None,
        "peak exhaust temperature": Level(max(t.cut_outs), math.hypot(T.PROBE, slow)) if t.cut_outs else None,
    }


def _last(temperatures: tuple[float, ...]) -> float:
    """The last of several that hardly differ [K], as the median of three: one of them may be misplaced."""
    return float(np.median(temperatures[-3:]))


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
    return "\n".join(entry_block("measurement", entry(f)) for f in found)


def entry(found: Found) -> dict[str, str]:
    """Return name, value and accuracy of a measurement as people write them.

    Parameters
    ----------
    found : Found
        In SI.

    Examples
    --------
    >>> entry(Found("cut-out temperature", 341.48, 1.1))["value"]
    '68.33 degC'
    """
    kind, spread = KINDS[found.name], f"{found.accuracy:.2g}"
    if kind == "temperature":
        value, accuracy = f"{found.value - 273.15:.2f} degC", f"{spread} delta_degC"
    elif kind == "energy":
        value, accuracy = f"{found.value / 3.6e6:.5g} kWh", f"{found.accuracy / 3.6e6:.2g} kWh"
    else:
        unit = SI_UNITS[kind]
        value, accuracy = f"{found.value:.6g} {unit}".strip(), f"{spread} {unit}".strip()
    return {"name": found.name, "value": value, "accuracy": accuracy}
