"""A log that was read, as tables and sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryermodel import units
from dryermodel.field.traces.outcome import KINDS
from dryermodel.readings import quantities as Q
from dryermodel.show.text.columns import wrap

if TYPE_CHECKING:
    from dryermodel.field.traces.noting import Noted
    from dryermodel.field.traces.outcome import Found
    from dryermodel.field.traces.reading import Trace

Table = tuple[list[str], list[list[str]]]

MINUTE = 60.0
MOST = 30
"""Burns listed; of more the first and the last, unless all are asked for."""

WIDTH = 100


def heading(trace: Trace, name: str) -> list[str]:
    """What was read: the run, and what its log is like.

    Parameters
    ----------
    trace : Trace
        The log.
    name : str
        Of the file.
    """
    length = (trace.run.end.time - trace.run.start.time) / MINUTE
    kind = (
        {"gas": "a gas machine", "electric": "an electric machine"}[trace.power.kind]
        if trace.power
        else "a machine"
    )
    begins = f"; the log begins {trace.run.log.begins}" if trace.run.log.begins else ""
    return [
        name,
        f"a run of {kind} of {length:.1f} min, {trace.run.start.time / MINUTE:.1f} min into the log{begins}",
    ]


def notes(trace: Trace) -> list[str]:
    """Everything that was guessed, mended, left out or inferred."""
    return [line for note in trace.notes for line in wrap(note, WIDTH, "- ", "  ")]


def measurements(trace: Trace, si: bool = False) -> Table:
    """Measurements ready for a visit, with their accuracy.

    Parameters
    ----------
    trace : Trace
        The log.
    si : bool
        SI units.
    """
    return ["measurement", "value", "accuracy"], [
        [found.name, value(found, si), "+- " + accuracy(found, si)] for found in trace.found
    ]


def value(found: Found, si: bool) -> str:
    """A measurement in the unit that people use.

    >>> from dryermodel.field.traces.outcome import Found
    >>> value(Found("cycle time", 2910.0, 12.0), False)
    '48.50 min'
    >>> value(Found("cut-out temperature", 341.48, 1.0), False)
    '155.0 degF'
    """
    kind = KINDS[found.name]
    if kind == "time":
        # A stroke is told in seconds and a cycle in minutes, as one would with a watch.
        return f"{found.value / MINUTE:.2f} min" if found.value >= 600.0 else f"{found.value:.1f} s"
    if kind == "temperature":
        return Q.text(found.value, "temperature", si, 1)
    if kind == "number":
        return f"{found.value:g}"
    return {
        "power": f"{found.value:.0f} W",
        "current": f"{found.value:.2f} A",
        "energy": Q.text(found.value, "energy", si, 3),
    }[kind]


def accuracy(found: Found, si: bool) -> str:
    """One standard deviation of a measurement in a fitting unit."""
    kind = KINDS[found.name]
    if kind == "temperature":
        return Q.text(found.accuracy, "temperature difference", si, 1)
    if kind == "energy":
        return Q.text(found.accuracy, "energy", si, 3)
    unit = {"time": "s", "power": "W", "current": "A", "number": ""}[kind]
    return f"{units.digits(found.accuracy, 2)} {unit}".rstrip()


def burns(trace: Trace, si: bool = False, everything: bool = False) -> Table:
    """When the burner, or the heater, was on; how long, how long off after it, and the exhaust at its end.

    Parameters
    ----------
    trace : Trace
        The log.
    si : bool
        SI units.
    everything : bool
        All of them, however many.
    """
    t = trace.temperatures
    unit = Q.display("temperature", si).label
    heads = ["burn", "on at [min]", "off at [min]", "+- [s]", "on for [s]", "off for [s]"]
    heads += [f"exhaust at off [{unit}]", f"at call [{unit}]"] if t else []
    rows = []
    for i, burn in enumerate(trace.burns):
        gap = f"{trace.gaps[i].length.time:.0f}" if i < len(trace.gaps) else ""
        row = [
            str(i + 1), f"{burn.on.time / MINUTE:.2f}", f"{burn.off.time / MINUTE:.2f}",
            units.digits(max(burn.on.accuracy, burn.off.accuracy), 2), f"{burn.length.time:.0f}", gap,
        ]  # fmt: skip
        if t:
            row += [
                Q.number(t.cut_outs[i], "temperature", si),
                Q.number(t.cut_ins[i], "temperature", si) if i < len(t.cut_ins) else "",
            ]
        rows.append(row)
    if len(rows) > MOST and not everything:
        rows = [*rows[: MOST // 2], ["..."] + [""] * (len(heads) - 1), *rows[-MOST // 2 :]]
    return heads, rows


def duty(trace: Trace) -> str:
    """Share of the time with heat, stretch by stretch."""
    shares = [f"{100.0 * share:.0f}" for _, share in trace.duty]
    return f"share of each 5 min with heat [%]: {' '.join(shares)}"


def more(trace: Trace) -> list[str]:
    """What else the log shows."""
    p, t = trace.power, trace.temperatures
    lines = [duty(trace)]
    if p and p.glows:
        lengths = [g.length.time for g in p.glows]
        lines.append(f"igniter: {len(lengths)} glows seen, {min(lengths):.0f} to {max(lengths):.0f} s")
    if p and p.motor_early and p.motor_late:
        share = 100.0 * (1.0 - p.motor_late.value / p.motor_early.value)
        lines.append(f"motor: {p.motor_early.value:.0f} W at the start, {share:.0f} % less at the end")
    if t:
        constants = [("off", t.constants.off), ("on", t.constants.on)]
        told = [f"{value:.0f} s with the burner {name}" for name, value in constants if value]
        lines += [f"time constant of the exhaust: {', '.join(told)}"] if told else []
    wet = sum(trace.wet)
    if wet:
        lines += wrap(
            f"{wet} of {len(trace.burns)} burns ended while the motor still took what it takes on a wet "
            "load: the high limit, which a vent in its way trips, or a thermostat that opens too early. A "
            "limit that trips is a fire risk and not a setting to adjust.",
            WIDTH,
        )
    return lines


def noted(done: Noted, visit: str) -> list[str]:
    """What was put into a visit and what was not.

    Parameters
    ----------
    done : Noted
        What became of the measurements.
    visit : str
        Name of its file.
    """
    lines = [f"added to {visit}: {', '.join(done.added) or 'nothing'}"]
    lines += [f"measured already, left as it is: {', '.join(done.there)}"] if done.there else []
    lines += [f"not added: {why}" for why in done.refused]
    lines += [f"does not go together: {problem}" for problem in done.problems]
    return [part for line in lines for part in wrap(line, WIDTH, "", "  ")]
