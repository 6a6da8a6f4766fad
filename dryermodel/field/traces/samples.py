"""Readings of one run as the search for the valve coils takes them, and what it finds."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Vector = NDArray[np.float64]

FREE, HELD, GLOW = 0, 1, 2
"""Coils let go, coils hold, igniter glows."""

STILL = 1.0
"""A change of the exhaust's temperature that says nothing, and the deviation of others [K]; assumed."""

CONVINCING = 9.0
"""The most that the exhaust says against a state between two readings [squared deviations]."""

SHORTEST_GLOW = 8.0
"""Readings less far apart than this cannot miss a glow [s]."""

FARTHEST = 25.0
"""A reading off by more than this many squared deviations counts as just so far off: a load shifts."""


class Readings(NamedTuple):
    """What is decoded."""

    time: Vector  # [s]
    power: Vector  # [W]
    glow: NDArray[np.bool_]
    reports: bool  # big changes are reported at once, so that no glow is missed
    usual: float  # [s] between two readings
    against_held: Vector | None = (
        None  # what the exhaust between this reading and the one before says against
    )
    against_free: Vector | None = None  # coils that hold, and against coils let go, in squared deviations


class Coils(NamedTuple):
    """What the coils did."""

    states: NDArray[np.int8]  # a reading each
    level: Vector  # [W] a reading each, the motor's slow fall taken off
    step: float  # [W]
    noise: float  # [W] of a reading


def against(time: Vector, temperature: Vector) -> tuple[Vector, Vector]:
    """What the exhaust's temperature says against coils that hold, and against coils let go.

    The exhaust does not cool while the burner burns, nor warm while it does not.

    Parameters
    ----------
    time, temperature : array of float, shape (n,)
        Readings [s], [K].

    Returns
    -------
    tuple of array
        For the time since the reading before, in squared deviations [1]; nought where readings are close,
        whose differences are noise.
    """
    change = np.diff(temperature, prepend=temperature[:1])
    change[~np.isfinite(change)] = 0.0
    change[np.diff(time, prepend=time[:1]) < SHORTEST_GLOW] = 0.0
    cooled, warmed = np.clip(-change - STILL, 0.0, None), np.clip(change - STILL, 0.0, None)
    return np.minimum((cooled / STILL) ** 2, CONVINCING), np.minimum((warmed / STILL) ** 2, CONVINCING)


def noise_of(r: Readings) -> float:
    """Noise of a reading [W], from the differences of neighbours.

    A logger that reports changes reports the outliers of the noise too; there the readings that came at their
    usual time tell.
    """
    steps, calm = np.diff(r.power), ~(r.glow[1:] | r.glow[:-1])
    if r.reports:
        calm &= np.diff(r.time) > 0.8 * r.usual
    steps = steps[calm]
    if len(steps) < 4:
        return 2.0
    return max(0.3, float(1.4826 * np.median(np.abs(steps - np.median(steps)))) / math.sqrt(2.0))
