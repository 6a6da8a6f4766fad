"""When a recorded quantity first came down to a level, and the marks of single kinds of cloth."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from dryermodel.cycle.events import Event

if TYPE_CHECKING:
    from numpy.typing import NDArray

MARK = "marked moisture"
"""Cause of the event that the whole load, or a kind of cloth, came down to the moisture marked."""


def first_down_to(
    time: NDArray[np.float64], values: NDArray[np.float64], slopes: NDArray[np.float64], level: float
) -> float | None:
    """When a quantity first was no more than a level, in the unit of `time`; None if it never was.

    Parameters
    ----------
    time, values, slopes : ndarray, shape (n,)
        Recorded rows of a quantity and its rate; a cubic in between, as of the trajectory.
    level : float
        In the unit of `values`.

    Examples
    --------
    >>> rows = np.array([0.0, 2.0]), np.array([3.0, 1.0]), np.array([-1.0, -1.0])
    >>> first_down_to(*rows, 2.0), first_down_to(*rows, 3.0), first_down_to(*rows, 0.5)
    (1.0, 0.0, None)
    """
    below = np.flatnonzero(values <= level)
    if len(below) == 0:
        return None
    row = int(below[0])
    if row == 0:
        return 0.0
    left, right = float(time[row - 1]), float(time[row])
    # The step's own cubic in the share of the step; above the level at its start, not at its end.
    step, fall = right - left, float(values[row] - values[row - 1])
    first, last = (step * float(slopes[i]) for i in (row - 1, row))
    above = float(values[row - 1]) - level
    roots = np.roots([first + last - 2.0 * fall, 3.0 * fall - 2.0 * first - last, first, above])
    inside = roots.real[(abs(roots.imag) < 1e-9) & (roots.real >= 0.0) & (roots.real <= 1.0)]
    return left + step * float(min(inside, default=1.0))


def with_kinds(
    switchings: Sequence[Event], passed: Sequence[tuple[str, float | None]], level: float
) -> tuple[Event, ...]:
    """Put among a run's events when each kind of cloth passed the marked moisture.

    Parameters
    ----------
    switchings : sequence of Event
        In order of time; the mark of the load says that it is the whole load's.
    passed : sequence of (str, float or None)
        Kind of cloth and when it passed [s]: 0 if it was drier from the start, None if it never did.
    level : float
        The moisture marked [kg/kg].

    Returns
    -------
    tuple of Event
        In order of time.
    """
    words = f"at {100.0 * level:.4g} %"
    found = [e._replace(changes=(f"whole load {words}",)) if e.cause == MARK else e for e in switchings]
    found += [Event(at, MARK, (f"{name} {words}",)) for name, at in passed if at]
    return tuple(sorted(found, key=lambda e: e.time))
