"""How good a ranking is: shares with intervals, calibration, coverage."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

Z = 1.959964
BINS = 10


class Share(NamedTuple):
    """A share of trials with its 95 % interval."""

    value: float
    low: float
    high: float
    trials: int

    def __str__(self) -> str:
        if not self.trials:
            return "none"
        return f"{100 * self.value:.1f} % ({100 * self.low:.1f} to {100 * self.high:.1f})"


def share(hits: ArrayLike) -> Share:
    """Share of hits with Wilson's interval.

    E. B. Wilson, Probable inference, the law of succession, and statistical inference, JASA 22, 1927 (from
    memory).

    >>> str(share([True] * 8 + [False] * 2))
    '80.0 % (49.0 to 94.3)'
    """
    found = np.asarray(hits, dtype=float)
    n = len(found)
    if not n:
        return Share(float("nan"), 0.0, 1.0, 0)
    p = float(found.mean())
    middle = (p + Z * Z / (2 * n)) / (1 + Z * Z / n)
    half = Z / (1 + Z * Z / n) * float(np.sqrt(p * (1 - p) / n + Z * Z / (4 * n * n)))
    return Share(p, middle - half, middle + half, n)


class Difference(NamedTuple):
    """A difference of two shares on the same trials with its 95 % interval [points]."""

    value: float
    low: float
    high: float

    def __str__(self) -> str:
        return f"{self.value:+.1f} ({self.low:+.1f} to {self.high:+.1f})"


def difference(one: ArrayLike, other: ArrayLike, seed: int = 1, times: int = 2000) -> Difference:
    """Paired difference in points, its interval by the bootstrap."""
    d = 100.0 * (np.asarray(one, dtype=float) - np.asarray(other, dtype=float))
    rng = np.random.default_rng(seed)
    means = d[rng.integers(0, len(d), (times, len(d)))].mean(axis=1)
    return Difference(float(d.mean()), *(float(q) for q in np.quantile(means, [0.025, 0.975])))


class Bin(NamedTuple):
    """Predictions of about the same probability."""

    said: float
    right: float
    predictions: int


def reliability(said: ArrayLike, right: ArrayLike, bins: int = BINS) -> list[Bin]:
    """Bins of equal width over the probability that was said; empty ones left out.

    >>> [tuple(b) for b in reliability([0.1, 0.875, 1.0], [False, False, True])]
    [(0.1, 0.0, 1), (0.875, 0.0, 1), (1.0, 1.0, 1)]
    """
    p, hit = np.asarray(said, dtype=float), np.asarray(right, dtype=float)
    place = np.minimum((p * bins).astype(int), bins - 1)
    return [
        Bin(float(p[place == i].mean()), float(hit[place == i].mean()), int((place == i).sum()))
        for i in range(bins)
        if (place == i).any()
    ]


def calibration_error(said: ArrayLike, right: ArrayLike, bins: int = BINS) -> float:
    """Expected calibration error: how far said and right are apart in a bin, on average over predictions.

    >>> round(calibration_error([0.25, 0.25, 0.75, 0.75], [False, True, True, True]), 3)
    0.25
    """
    found = reliability(said, right, bins)
    return sum(b.predictions * abs(b.said - b.right) for b in found) / sum(b.predictions for b in found)


def error_interval(said: ArrayLike, right: ArrayLike, seed: int = 1, times: int = 500) -> tuple[float, float]:
    """Bootstrap interval (95 %) of the calibration error."""
    p, hit = np.asarray(said, dtype=float), np.asarray(right, dtype=float)
    rng = np.random.default_rng(seed)
    picks = rng.integers(0, len(p), (times, len(p)))
    low, high = np.quantile([calibration_error(p[i], hit[i]) for i in picks], [0.025, 0.975])
    return float(low), float(high)


def ranks(shares: Sequence[float], bins: int = BINS) -> NDArray[np.int64]:
    """Counts of ranks (0 to 1) in equal bins: even if the posterior is right."""
    return np.histogram(np.asarray(shares, dtype=float), bins, (0.0, 1.0))[0]


def evenness(counts: ArrayLike) -> float:
    """Probability of counts as uneven as these if ranks are even (chi-squared).

    >>> round(evenness([10, 10, 10]), 3), evenness([30, 0, 0]) < 1e-6
    (1.0, True)
    """
    from scipy.stats import chisquare

    return float(chisquare(np.asarray(counts)).pvalue)
