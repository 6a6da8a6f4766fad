"""When the machine ran: the runs in a log of power or current, and one of them cut out."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.errors import InputError
from dryermodel.field.traces.rhythm import IDLE
from dryermodel.field.traces.table import Log

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Vector = NDArray[np.float64]

RUNNING = 60.0
"""A motor that turns takes more than this, a machine that waits less [W], common practice."""

TUMBLE = 30.0
"""Shorter stretches are tumbles after the end, against creases, or a hand on the start button [s]."""

PAUSE = 600.0
"""A machine that stands no longer than this between two stretches was only interrupted [s]."""

COARSE = 8.0
"""Readings further apart than this may miss a glow [s]."""

LONGEST = 86400.0
"""No cycle is longer; of what looks like a longer run only so much is read [s]."""

POLL = 1.0
"""How late a logger that reports changes may be [s], assumed."""


class Moment(NamedTuple):
    """A time and how well it is known."""

    time: float  # [s]
    accuracy: float  # [s] one standard deviation


class Run(NamedTuple):
    """One run of the machine."""

    start: Moment
    end: Moment
    whole: tuple[bool, bool]  # its start, its end is in the log
    log: Log  # the readings of the run alone, times since its start
    notes: tuple[str, ...]


def stretches(on: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """First and last place of each stretch of true.

    >>> stretches(np.array([False, True, True, False, True]))
    [(1, 2), (4, 4)]
    """
    edges = np.flatnonzero(np.diff(np.concatenate([[False], on, [False]]).astype(np.int8)))
    return [(int(a), int(b) - 1) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def moment(log: Log, after: int) -> Moment:
    """When something changed between a reading and the one after it.

    A logger that reports changes has reported it at once if it was large enough; otherwise it was some time
    between the two.

    Parameters
    ----------
    log : Log
        The readings.
    after : int
        Place of the reading before the change.
    """
    a, b = float(log.time[after]), float(log.time[after + 1])
    if not log.steady and (_change(log, after) >= 0.9 * log.least or b - a < log.short):
        late = min(POLL, b - a)
        return Moment(b - 0.5 * late, late / math.sqrt(12.0))
    return Moment(0.5 * (a + b), (b - a) / math.sqrt(12.0))


def _change(log: Log, after: int) -> float:
    kind = next((k for k in ("current", "power") if k in log.values), None)
    return abs(float(log.values[kind][after + 1] - log.values[kind][after])) if kind else 0.0


def find_runs(log: Log) -> list[tuple[int, int]]:
    """First and last reading of each run; tumbles after the end are none."""
    kind = next((k for k in IDLE if k in log.values), None)
    if kind is None:
        return [(0, len(log.time) - 1)]
    level = RUNNING if kind == "power" else IDLE["current"]
    long = [(a, b) for a, b in stretches(log.values[kind] > level) if _length(log, a, b) >= TUMBLE]
    runs: list[tuple[int, int]] = []
    for a, b in long:
        if runs and log.time[a] - log.time[runs[-1][1]] <= PAUSE:
            runs[-1] = (runs[-1][0], b)
        else:
            runs.append((a, b))
    return runs


def _length(log: Log, a: int, b: int) -> float:
    until = log.time[min(b + 1, len(log.time) - 1)]
    return float(until - log.time[a])


def cut_out(log: Log, number: int | None = None) -> Run:
    """Cut one run out of a log: the longest, or the one of that number, counted from 1.

    Raises
    ------
    InputError
        The machine never runs, or not that often.
    """
    runs = find_runs(log)
    if not runs:
        raise InputError("the machine never runs in this log", "log")
    if number is not None and not 1 <= number <= len(runs):
        raise InputError(f"is {number}; the log holds {len(runs)}", "--run")
    chosen = number - 1 if number else max(range(len(runs)), key=lambda i: _length(log, *runs[i]))
    notes = []
    if len(runs) > 1:
        notes.append(f"{len(runs)} runs in the log; number {chosen + 1} is read, another with --run")
    return _cut(log, *runs[chosen], notes)


def _cut(log: Log, a: int, b: int, notes: list[str]) -> Run:
    """The readings from `a` to `b`, and the moments just before and after them."""
    known = any(kind in log.values for kind in IDLE)
    last = int(np.searchsorted(log.time, log.time[a] + LONGEST))
    whole = (a > 0 and known, b < len(log.time) - 1 and known and last >= b)
    if last < b:
        notes.append(f"longer than {LONGEST / 3600.0:.0f} h; only as much of it is read")
        b = last
    start = moment(log, a - 1) if whole[0] else Moment(float(log.time[a]), 0.0)
    end = moment(log, b) if whole[1] else Moment(float(log.time[b]), 0.0)
    if known and not whole[0]:
        notes.append("the machine runs already when the log begins: its start is not known")
    if known and not whole[1]:
        notes.append("the machine still runs when the log ends: its end is not known")
    part = slice(a, b + 1)
    cut = log._replace(
        time=log.time[part] - start.time, values={kind: v[part] for kind, v in log.values.items()}
    )
    return Run(start, end, whole, cut, (*notes, *_gaps(cut)))


def _gaps(log: Log) -> list[str]:
    steps = np.diff(log.time)
    long = np.flatnonzero(steps > max(4.0 * log.usual, log.usual + 5.0))
    if not len(long):
        return []
    worst = int(long[np.argmax(steps[long])])
    return [
        f"{len(long)} gaps in the run, the longest of {steps[worst]:.0f} s at "
        f"{log.time[worst] / 60.0:.1f} min; what happened in them is not known"
    ]
