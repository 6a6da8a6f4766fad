"""Where to draw fresh machines of a hypothesis: a normal distribution near what was measured.

Around the machines that fit best, every measured number is taken as linear in the standard normal numbers
behind a machine (a weighted ridge regression). With a normal prior and normal errors the posterior is then
normal and has a closed form; errors of the linear form count as errors of the measurement, and a measurement
far from all that the hypothesis can show counts little, as under Student's t.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.inference import likelihood as L

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from dryermodel.field.evidence import Measured
    from dryermodel.inference.bank import Batch

    Array = NDArray[np.float64]

FROM_PRIOR = 0.2
"""Share of a refinement drawn from the prior, so that no weight can grow without bound."""

INFLATED = 1.35
"""Variance of a proposal over that of the linear posterior."""

RIDGE = 4.0
"""Machines' worth of belief in no slope at all."""

LOCAL = 0.3
"""Share of a hypothesis's machines that count as effective in a regression."""

PASSES = 3
"""Passes in which measurements far off are counted less."""

MOST_THERE = 0.5
"""Weight of machines that must have a number for it to guide a proposal."""


class Normal(NamedTuple):
    """A normal distribution of the numbers behind a machine."""

    mean: Array  # (width,)
    root: Array  # (width, width) lower Cholesky factor of the covariance


class _Line(NamedTuple):
    """A measured number as a linear function of a point."""

    level: float
    slope: Array
    error: float  # [SI] of instrument, model and linear form together
    value: float


def near(batch: Batch, mine: NDArray[np.int64], log_weights: Array, measured: Sequence[Measured]) -> Normal:
    """Return a proposal for one hypothesis.

    Parameters
    ----------
    batch : Batch
        Machines at hand.
    mine : ndarray of int
        Places of those of the hypothesis.
    log_weights : ndarray
        Logarithms of their weights.
    measured : sequence of Measured
        What was measured.
    """
    points = batch.points[mine]
    weights = flattened(log_weights, max(60.0, LOCAL * len(mine)))
    lines = [_line(points, weights, L.number_of(batch.numbers, m.number)[mine], m) for m in measured]
    return _posterior([line for line in lines if line is not None], points.shape[1])


def _line(points: Array, weights: Array, numbers: Array, m: Measured) -> _Line | None:
    there = np.isfinite(numbers)
    if float(weights[there].sum()) < MOST_THERE:
        return None
    w, x, y = weights[there] / weights[there].sum(), points[there], numbers[there]
    effective = 1.0 / float((w**2).sum())
    level, middle = float(w @ y), w @ x
    away = x - middle
    slope = np.linalg.solve(
        (away * w[:, None]).T @ away + RIDGE / effective * np.eye(x.shape[1]),
        (away * w[:, None]).T @ (y - level),
    )
    left = float(w @ (y - level - away @ slope) ** 2)
    error = float(np.hypot(L.spread(m, np.array([m.value]))[0], np.sqrt(max(left, 0.0))))
    if error <= 0.0:  # a number that is the same on every machine, read without error
        return None
    return _Line(level - float(middle @ slope), np.asarray(slope), error, m.value)


def _posterior(lines: Sequence[_Line], width: int) -> Normal:
    trust = np.ones(len(lines))
    mean: Array = np.zeros(width)
    covariance: Array = np.eye(width)
    for _ in range(PASSES):
        precision, pull = np.eye(width), np.zeros(width)
        for line, counts in zip(lines, trust, strict=True):
            precision += counts * np.outer(line.slope, line.slope) / line.error**2
            pull += counts * line.slope * (line.value - line.level) / line.error**2
        covariance = np.asarray(np.linalg.inv(precision), dtype=np.float64)
        mean = np.asarray(covariance @ pull, dtype=np.float64)
        off = np.array([(line.value - line.level - line.slope @ mean) / line.error for line in lines])
        trust = (L.FREEDOM + 1.0) / (L.FREEDOM + off**2)
    return Normal(mean, np.asarray(np.linalg.cholesky(INFLATED * covariance), dtype=np.float64))


def ratio(proposal: Normal | None, points: Array) -> Array:
    """Density of a proposal over that of the prior; None stands for the prior itself."""
    if proposal is None:
        return np.ones(len(points))
    from scipy.linalg import solve_triangular

    z = solve_triangular(proposal.root, (points - proposal.mean).T, lower=True)
    log_det = float(np.log(np.diag(proposal.root)).sum())
    log = 0.5 * (points**2).sum(axis=1) - 0.5 * (z**2).sum(axis=0) - log_det
    return np.asarray(FROM_PRIOR + (1.0 - FROM_PRIOR) * np.exp(log))


def sample(proposal: Normal | None, n: int, width: int, generator: np.random.Generator) -> Array:
    """Draw points from a proposal, shape (n, width)."""
    points = generator.standard_normal((n, width))
    if proposal is None:
        return points
    local = generator.random(n) >= FROM_PRIOR
    return np.where(local[:, None], proposal.mean + points @ proposal.root.T, points)


def flattened(log_weights: Array, effective: float) -> Array:
    """Weights raised to the greatest power up to 1 that leaves so many effective ones; they sum to 1.

    >>> flattened(np.log([0.5, 0.5]), 1.0)
    array([0.5, 0.5])
    """
    from scipy.optimize import brentq

    def weights(power: float) -> Array:
        w = np.exp(power * (log_weights - log_weights.max()))
        return np.asarray(w / w.sum())

    def short(power: float) -> float:
        return 1.0 / float((weights(power) ** 2).sum()) - min(effective, 0.9 * len(log_weights))

    return weights(1.0) if short(1.0) >= 0.0 else weights(float(brentq(short, 0.0, 1.0, xtol=1e-4)))
