"""Sobol indices of any function of the unit cube, with bootstrap intervals."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import numpy as np

from dryermodel.studies.sweep.design import draw, seeded, sobol_sequence

if TYPE_CHECKING:
    from numpy.typing import NDArray

RESAMPLES = 400
"""Resamples of the bootstrap."""

CONFIDENCE = 0.95
"""Of the intervals."""


def sobol_study(
    function: Callable[[NDArray[np.float64]], NDArray[np.float64]], dimensions: int, n: int, seed: int
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """First-order and total Sobol indices with bootstrap intervals of any function of the unit cube.

    Points are a scrambled Sobol sequence of twice the dimensions, cut into matrices A and B, and the
    A_B(i) that take column i from B. Indices by scipy.stats.sobol_indices (first order: Saltelli
    2010; total: Jansen 1999). Intervals: the rows are drawn again with replacement, percentiles of
    the indices.

    Parameters
    ----------
    function : callable
        Takes points, shape (m, dimensions), in 0 to 1; returns outcomes, shape (s, m).
    dimensions : int
        Number of inputs [1].
    n : int
        Rows of A and B [1], a power of two.
    seed : int
        Of the points and of the bootstrap.

    Returns
    -------
    tuple of ndarray
        Indices, low and high ends of their intervals, each of shape (2, s, dimensions): first-order
        and total.
    """
    from scipy.stats import bootstrap, sobol_indices

    halves = draw(sobol_sequence(2 * dimensions, seed), n)
    a, b = halves[:, :dimensions], halves[:, dimensions:]
    mixed = np.repeat(a[None], dimensions, axis=0)
    for i in range(dimensions):
        mixed[i, :, i] = b[:, i]
    out = function(np.concatenate([a, b, mixed.reshape(-1, dimensions)]))
    f_a, f_b = out[:, :n], out[:, n : 2 * n]
    f_mixed = np.moveaxis(out[:, 2 * n :].reshape(len(out), dimensions, n), 0, 1)

    def indices(rows: NDArray[np.intp]) -> NDArray[np.float64]:
        values: Any = {"f_A": f_a[:, rows], "f_B": f_b[:, rows], "f_AB": f_mixed[:, :, rows]}
        found = sobol_indices(func=values, n=n)
        shape = (len(out), dimensions)
        return np.stack([np.reshape(found.first_order, shape), np.reshape(found.total_order, shape)])

    everything = np.arange(n)
    found = bootstrap(
        (everything,), indices, vectorized=False, n_resamples=RESAMPLES, confidence_level=CONFIDENCE,
        method="percentile", **seeded(bootstrap, np.random.default_rng([seed, 1])),
    ).confidence_interval  # fmt: skip
    return indices(everything), found.low, found.high
