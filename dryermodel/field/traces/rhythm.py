"""When a logger reports: at set times, on changes, several times in one stamp."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Vector = NDArray[np.float64]

IDLE = {"power": 40.0, "current": 0.5}
"""Below this a machine stands still [W, A]."""


class Rhythm(NamedTuple):
    """When a logger reports."""

    usual: float  # [s]
    steady: bool
    least: float  # [W] or [A], smallest change that is reported at once
    short: float  # [s] a reading so soon after the one before is the report of a change
    note: str


def rhythm(time: Vector, values: dict[str, Vector]) -> Rhythm:
    """Find out whether a logger reports at set times, or when something changes as well.

    Parameters
    ----------
    time : array of float, shape (n,)
        Of the readings [s].
    values : dict of array
        Readings by kind; power or current tells.
    """
    steps = np.diff(time)
    if len(steps) == 0:
        return Rhythm(1.0, True, 0.0, 0.0, "a single reading")
    usual = float(np.median(steps))
    long = steps[steps < 20.0 * usual]
    beat = max(usual, float(np.percentile(long, 75)))
    kind = next((k for k in IDLE if k in values), None)
    punctual = float(np.mean(np.abs(steps - beat) < 0.05 * beat)) > 0.4
    soon = (0.9 if punctual else 0.7) * beat
    short = steps < soon
    change = np.abs(np.diff(values[kind])) if kind else np.zeros(len(steps))
    leaps = change > 2.5 * IDLE[kind] if kind else np.zeros(len(steps), dtype=np.bool_)
    uneven = bool(np.mean(np.abs(long - usual) <= 0.2 * usual + 0.05) <= 0.93)
    sudden = leaps.sum() > 3 and float(np.mean(short[leaps])) > 0.3
    if kind is None or not (uneven or sudden):
        return Rhythm(usual, True, 0.0, 0.0, f"a reading every {usual:.3g} s")
    reported = change[short & (change > 0.08 * IDLE[kind])]
    least = float(reported.min()) if len(reported) else np.inf
    told = f"readings every {beat:.3g} s, and between them when something changes"
    return Rhythm(beat, False, least, soon, told)


def spread(time: Vector, notes: list[str]) -> Vector:
    """Spread lines that share a stamp of whole minutes evenly over the minute."""
    steps = np.diff(time)
    ahead = steps[steps > 0.0]
    whole = len(ahead) > 0 and np.median(ahead) >= 59.0 and bool(np.all(np.abs(ahead % 60.0) < 1e-6))
    if not whole or np.mean(steps == 0.0) < 0.3:
        return time
    _, start, count = np.unique(time, return_index=True, return_counts=True)
    rank = np.arange(len(time)) - np.repeat(start, count)
    notes.append("stamps are whole minutes; lines that share one are spread evenly over it")
    return np.asarray(time + 60.0 * rank / np.repeat(count, count))


def without_doubles(time: Vector, values: dict[str, Any], notes: list[str]) -> tuple[Vector, dict[str, Any]]:
    """Of lines with the same time the last one."""
    last = np.append(np.diff(time) > 0.0, True)
    if last.all():
        return time, values
    notes.append(f"{int((~last).sum())} lines have the same time as the one after them; the last one counts")
    return time[last], {kind: v[last] for kind, v in values.items()}
