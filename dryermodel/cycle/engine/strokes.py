"""Burner strokes: how long the heat was on and off, kept while a cycle runs.

A stroke is a stretch with heat, from flame to flame-out (or heater on to heater off). Counted are

- the strokes after the first cut-out that the exhaust thermostat ended: how long the heat was **on**;
- the gaps that the thermostat began and that another stroke followed: how long the heat was **off**, from
  flame-out to the next igniter-on (heater-on where there is no igniter).

Of n strokes, or gaps, the early ones are the first ceil(n/2) and the late ones the last ceil(n/2); of more
than twice `KEPT`, early and late ones are the rest and the last `KEPT`.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from dryermodel.cycle.engine.arrays import Vector

KEPT = 512
"""Latest strokes, and gaps, that are remembered one by one."""


class EarlyLate(NamedTuple):
    """Mean lengths [s] of the first and of the last half; NaN where there are none."""

    early: float
    late: float


def keep(length: float, count: float, ring: Vector) -> float:
    """Keep a length [s] in `ring`, which holds the latest, and return the new count.

    Parameters
    ----------
    length : float
        The stroke or gap [s].
    count : float
        How many there were before.
    ring : array of float, shape (KEPT + 1,)
        The latest lengths; in the last place the sum of all.
    """
    ring[int(count) % KEPT] = length
    ring[KEPT] += length
    return count + 1.0


def early_and_late(count: float, ring: Vector) -> EarlyLate:
    """Means of the first and of the last half of what `ring` holds.

    Examples
    --------
    >>> import numpy as np
    >>> ring, count = np.zeros(KEPT + 1), 0.0
    >>> for length in (10.0, 20.0, 60.0):
    ...     count = keep(length, count, ring)
    >>> early_and_late(count, ring)
    EarlyLate(early=15.0, late=40.0)
    """
    n = int(count)
    if n == 0:
        return EarlyLate(math.nan, math.nan)
    half = (n + 1) // 2
    late = min(half, KEPT)
    others = min(n // 2, KEPT)
    early_sum = ring[KEPT] - _latest(others, n, ring)
    return EarlyLate(float(early_sum / (n - others)), _latest(late, n, ring) / late)


def _latest(number: int, n: int, ring: Vector) -> float:
    """Sum of the latest `number` of `n` lengths [s]."""
    total = 0.0
    for i in range(n - number, n):
        total += ring[i % KEPT]
    return float(total)
