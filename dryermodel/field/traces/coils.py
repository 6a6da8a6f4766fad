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

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Vector = NDArray[np.float64]

FREE, HELD, GLOW = 0, 1, 2
"""Coils let go, coils hold, igniter glows."""

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

SHORTEST_GLOW = 8.0
"""Readings less far apart than this cannot miss a glow [s]."""

LOST = 60.0
"""A logger that reports changes has lost some when it is silent for longer than this [s], assumed."""

FARTHEST = 25.0
"""A reading off by more than this many squared deviations counts as just so far off: a load shifts."""

STILL = 1.0
"""A change of the exhaust's temperature that says nothing, and the deviation of others [K]; assumed."""

CONVINCING = 9.0
"""The most that the exhaust says against a state between two readings [squared deviations]."""

NEAR = 45.0
"""Readings so close to a step tell its size [s]."""

ENOUGH = 10
"""Fewer readings than this cannot tell a step and a slope apart."""

WIDEST = 150.0
"""Readings farther than this from a step do not help to place it [s]."""


class Coils(NamedTuple):
    """What the coils did."""

    states: NDArray[np.int8]  # a reading each
    level: Vector  # [W] a reading each, the motor's slow fall taken off
    step: float  # [W]
    noise: float  # [W] of a reading


class _Path(NamedTuple):
    """A sequence of states up to some reading, with the motor's level on it."""

    cost: float
    level: float  # [W]
    variance: float  # [W2]


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
    step = _step_size(_picked(r, some), states) or step
    _, states = _viterbi(level, step, noise)
    finer = _step_size(r, states) or step
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


def releases(states: NDArray[np.int8]) -> list[int]:
    """Places of the last reading with the coils held before each letting go."""
    return [int(i) for i in np.flatnonzero((states[:-1] == HELD) & (states[1:] == FREE))]


def _around(time: Vector, states: NDArray[np.int8], at: int) -> tuple[int, int]:
    """First and last place of the readings that help to place a letting go after `at`."""
    a = b = at
    while a > 0 and states[a - 1] == HELD and time[at] - time[a - 1] <= WIDEST:
        a -= 1
    b += 1
    while b < len(states) - 1 and states[b + 1] == FREE and time[b + 1] - time[at] <= WIDEST:
        b += 1
    return a, b


def _step_size(r: Readings, states: NDArray[np.int8]) -> float | None:
    """Step [W], the median of those at all lettings go; None without any that can be measured."""
    sizes = []
    for at in releases(states):
        a, b = _around(r.time, states, at)
        near = np.abs(r.time[a : b + 1] - r.time[at]) <= max(NEAR, 2.6 * r.usual)
        t, p = r.time[a : b + 1][near], r.power[a : b + 1][near]
        before = np.arange(a, b + 1)[near] <= at
        if before.sum() >= 2 and (~before).sum() >= 2:
            sizes.append(_step_of(t - r.time[at], p, before))
    return float(np.median(sizes)) if sizes and np.median(sizes) > 2.0 else None


def _step_of(t: Vector, power: Vector, before: NDArray[np.bool_]) -> float:
    """Step of a line with a step in it [W]; of few readings, of two levels."""
    if len(t) < ENOUGH:
        return float(np.median(power[before]) - np.median(power[~before]))
    design = np.stack([np.ones_like(t), t, before], axis=1)
    return float(np.linalg.lstsq(design, power, rcond=None)[0][2])


def placed(r: Readings, coils: Coils, at: int) -> tuple[NDArray[np.int64], Vector]:
    """Places that a letting go near `at` may have, and the probability of each.

    Parameters
    ----------
    r : Readings
        Of one run.
    coils : Coils
        What was decoded.
    at : int
        Place of the last reading before it, as decoded.

    Returns
    -------
    tuple of array
        Places of the last reading before it, and probabilities [1], which sum to 1.
    """
    a, b = _around(r.time, coils.states, at)
    p = coils.level[a : b + 1]
    places = np.arange(a, b)
    after = np.arange(a, b + 1)[None, :] > places[:, None]
    clean = p[None, :] + _step_at(coils, a, at, b) * after
    left = clean - np.median(clean, axis=1)[:, None]
    misfit = np.sum(np.minimum(left * left / coils.noise**2, FARTHEST), axis=1)
    if r.against_held is not None and r.against_free is not None:
        held, free = np.cumsum(r.against_held[a : b + 1]), np.cumsum(r.against_free[a : b + 1])
        misfit += held[:-1] + free[-1] - free[1:]
    weight = np.exp(-0.5 * (misfit - misfit.min()))
    return places, weight / weight.sum()


def _step_at(coils: Coils, a: int, at: int, b: int) -> float:
    """Step of one letting go [W]: its own where enough readings stand around it, else that of all."""
    if min(at - a, b - at) < 4:
        return coils.step
    before, after = coils.level[max(a, at - 20) : at + 1], coils.level[at + 1 : min(b, at + 21) + 1]
    own = float(np.median(before) - np.median(after))
    return min(max(own, 0.5 * coils.step), 1.8 * coils.step)
