"""When the valve coils let go, and by how much: each step among the readings around it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from dryermodel.field.traces.samples import FARTHEST, FREE, HELD, Coils, Readings

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Vector = NDArray[np.float64]

NEAR = 45.0
"""Readings so close to a step tell its size [s]."""

ENOUGH = 10
"""Fewer readings than this cannot tell a step and a slope apart."""

WIDEST = 150.0
"""Readings farther than this from a step do not help to place it [s]."""


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


def step_size(r: Readings, states: NDArray[np.int8]) -> float | None:
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
