"""The valve coils in the power of a gas machine: a small step that lets go when the flame goes out.

The motor takes 200 to 250 W and less as the load dries; the coils add some 5 to 25 W while the flame burns.
So the reading is a slowly drifting level plus a step, in noise. The likeliest sequence of "coils hold"
and "coils let go" is found by Viterbi's method, each path with a Kalman filter of its own for the level; then
each letting go is placed among the readings around it by how well a level with a step fits them.

References
----------
.. [1] A. J. Viterbi, Error bounds for convolutional codes, IEEE Trans. Inf. Theory 13 (1967) 260-269.
.. [2] R. E. Kalman, A new approach to linear filtering and prediction problems, J. Basic Eng. 82 (1960)
35-45.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.field.traces.placing import step_size
from dryermodel.field.traces.samples import (
    FARTHEST,
    FREE,
    GLOW,
    HELD,
    SHORTEST_GLOW,
    Coils,
    Readings,
    noise_of,
)

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Vector = NDArray[np.float64]

STEPS = (4.5, 6.5, 9.0, 13.0, 19.0, 28.0)
"""Steps that are tried [W]; measured 5 to 12 on one machine, 19 to 25 from usual coils' resistances."""

THIN = 4.0
"""Readings closer than this are not all needed to find the size of the step [s]."""

DRIFT = 0.08
"""How far the motor's level wanders in a second, as a random walk [W/s^0.5], assumed."""

STIFF = 350.0
"""The motor's fall bends no more often than once in this time [s], assumed."""

TIMER = 2.5
"""The timer motor runs in one gap and not in the next, so that steps differ [W]; it takes 2 to 4 W, common
practice."""

USUAL = 100.0
"""Mean time between two switchings of the burner, for how likely one is between two readings [s]; assumed."""

MISSED = 2.0
"""What a light costs beyond that when its glow falls between two readings [squared deviations]."""

SURPRISE = 9.0
"""What a glow after which the coils do not hold costs beyond that [squared deviations]."""

AGAIN = 5.0
"""What a glow that follows on coils that still hold, a failed try, costs [squared deviations]."""

NEVER = 1.0e6
"""What cannot be."""

LOST = 60.0
"""A logger that reports changes has lost some when it is silent for longer than this [s], assumed."""


class _Path(NamedTuple):
    """A sequence of states up to some reading, with the motor's level on it."""

    cost: float
    level: float  # [W]
    variance: float  # [W2]


def decode(r: Readings) -> Coils:
    """The likeliest states of the coils.

    Parameters
    ----------
    r : Readings
        Of one run.
    """
    noise = noise_of(r)
    level = r._replace(power=r.power - _trend(r))
    some = _thinned(r)
    tried = [(*_viterbi(_picked(level, some), step, noise), step) for step in STEPS]
    _, states, step = min(tried, key=lambda t: t[0])
    step = step_size(_picked(r, some), states) or step
    _, states = _viterbi(level, step, noise)
    finer = step_size(r, states) or step
    if abs(finer - step) > 0.15 * step:
        _, states = _viterbi(level, finer, noise)
    return Coils(states, level.power, finer, noise)


def _thinned(r: Readings) -> NDArray[np.int64]:
    """Places of readings some seconds apart, and of those around a glow: enough to size the step."""
    every = max(1, int(THIN / max(r.usual, 1e-3)))
    turns = np.flatnonzero(np.diff(r.glow.astype(np.int8)))
    return np.unique(np.concatenate([np.arange(0, len(r.time), every), turns, turns + 1]))


def _picked(r: Readings, places: NDArray[np.int64]) -> Readings:
    # The exhaust's doubts belong to neighbours, which these are no more.
    return r._replace(
        time=r.time[places], power=r.power[places], glow=r.glow[places], against_held=None, against_free=None
    )


def _trend(r: Readings) -> Vector:
    """The slow fall of the motor's power [W], a polynomial through all readings without glow."""
    calm = ~r.glow
    if calm.sum() < 8:
        return np.zeros(len(r.time))
    from numpy.polynomial import Polynomial

    degree = int(min(max((r.time[-1] - r.time[0]) / STIFF, 3.0), 9.0, calm.sum() / 5.0))
    fit = Polynomial.fit(r.time[calm], r.power[calm], degree)
    close = calm & (np.abs(r.power - fit(r.time)) < 30.0)
    if close.sum() >= 8:
        fit = Polynomial.fit(r.time[close], r.power[close], degree)
    return np.asarray(fit(r.time))


def _viterbi(r: Readings, step: float, noise: float) -> tuple[float, NDArray[np.int8]]:
    """Cost and states of the likeliest sequence for one size of step."""
    time, power, glow = r.time.tolist(), r.power.tolist(), r.glow.tolist()
    doubt = _doubts(r)
    back = np.zeros((len(time), 3), dtype=np.int8)
    lift = (0.0, step)
    paths = _begun(power[0], glow[0], step, noise, not r.reports and r.usual >= SHORTEST_GLOW)
    for i in range(1, len(time)):
        apart = time[i] - time[i - 1]
        new: dict[int, _Path] = {}
        for to in (GLOW,) if glow[i] else (FREE, HELD):
            ways = {
                s: _moved(_turned(p, s, to, apart, r.reports, doubt[i]), power[i], to, apart, lift, noise)
                for s, p in paths.items()
            }
            origin = min(ways, key=lambda s: ways[s].cost)
            back[i, to], new[to] = origin, ways[origin]
        paths = new
    last = min(paths, key=lambda s: paths[s].cost)
    return paths[last].cost, _traced(back, last)


def _begun(power: float, glow: bool, step: float, noise: float, missed: bool) -> dict[int, _Path]:
    """Paths at the first reading; the trend is taken off, so a level is some watts about nought.

    Readings far apart may have missed the first glow; then coils that hold are what is to be expected.
    """
    if glow:
        return {GLOW: _Path(0.0, 0.0, 400.0)}
    free, held = (MISSED, 0.0) if missed else (0.0, SURPRISE)
    return {FREE: _Path(free, power, noise * noise), HELD: _Path(held, power - step, noise * noise)}


def _price(a: int, b: int, apart: float, reports: bool) -> float:
    """What going from one state to another costs, twice the logarithm of how unlikely it is."""
    if a == b or (a, b) in ((GLOW, HELD), (FREE, GLOW)):
        return 0.0
    rare = -2.0 * math.log(1.0 - math.exp(-max(apart, 0.1) / USUAL))
    if a == FREE:
        # A glow that a logger was sure to report was missed only where it reported nothing for long.
        least = LOST if reports else SHORTEST_GLOW
        return rare + (SURPRISE if reports else MISSED) if apart >= least else NEVER
    return rare if (a, b) == (HELD, FREE) else AGAIN if a == HELD else SURPRISE


def _doubts(r: Readings) -> list[tuple[float, float, float]]:
    """What the exhaust says against each state between a reading and the one before; nothing without it."""
    if r.against_held is None or r.against_free is None:
        return [(0.0, 0.0, 0.0)] * len(r.time)
    return [(free, held, 0.0) for free, held in zip(r.against_free, r.against_held, strict=True)]


def _turned(path: _Path, a: int, b: int, apart: float, reports: bool, doubt: tuple[float, ...]) -> _Path:
    """The path after it went from state `a` to state `b`, before the reading there."""
    loose = TIMER * TIMER if (a != b and GLOW not in (a, b)) or (a, b) == (FREE, GLOW) else 0.0
    stays = doubt[b] if a == b else 0.0
    return _Path(path.cost + _price(a, b, apart, reports) + stays, path.level, path.variance + loose)


def _moved(
    path: _Path, power: float, to: int, apart: float, lift: tuple[float, float], noise: float
) -> _Path:
    """The path with one reading more."""
    cost, variance = path.cost, path.variance + DRIFT * DRIFT * apart
    if to == GLOW:
        return _Path(cost, path.level, variance)
    off = power - lift[to] - path.level
    total = variance + noise * noise
    misfit = off * off / total
    if misfit > FARTHEST:
        # A shifted load moves the level; it is found again within a few readings.
        return _Path(cost + FARTHEST + math.log(total), path.level, variance + noise * noise)
    gain = variance / total
    return _Path(cost + misfit + math.log(total), path.level + gain * off, (1.0 - gain) * variance)


def _traced(back: NDArray[np.int8], last: int) -> NDArray[np.int8]:
    states = np.zeros(len(back), dtype=np.int8)
    for i in range(len(back) - 1, -1, -1):
        states[i] = last
        last = int(back[i, last])
    return states
