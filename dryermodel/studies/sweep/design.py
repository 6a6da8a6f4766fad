"""Which points a study visits: all crossings of a grid, or well-spread random points."""

from __future__ import annotations

import inspect
import math
import warnings
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray
    from scipy.stats.qmc import Sobol

    from dryermodel.studies.sweep.vary import Varied

MOST_POINTS = 2**30
"""Most points of a random design: as far as its sequence reaches."""


class Design(Protocol):
    """Points in a fixed order, any stretch of which can be had without the others."""

    varied: tuple[Varied, ...]

    @property
    def size(self) -> int:
        """Number of points."""
        ...

    def points(self, start: int, stop: int) -> NDArray[np.float64]:
        """Values [SI] of points `start` to `stop` (excluded), shape (stop - start, keys)."""
        ...


class Grid:
    """Every value of each key with every value of the others; the last key changes fastest.

    >>> from dryermodel.studies.sweep.vary import read_vary
    >>> grid = Grid([read_vary("vent.elbows=0:2:3"), read_vary("load.dry_mass=2 kg:4 kg:2")])
    >>> grid.size, grid.points(1, 3).tolist()
    (6, [[0.0, 4.0], [1.0, 2.0]])
    """

    def __init__(self, varied: Sequence[Varied]) -> None:
        self.varied = tuple(varied)

    @property
    def size(self) -> int:
        """Number of points."""
        return math.prod(v.n for v in self.varied)

    def points(self, start: int, stop: int) -> NDArray[np.float64]:
        """Values [SI] of points `start` to `stop` (excluded)."""
        place = np.arange(start, stop, dtype=np.int64)
        columns: list[NDArray[np.float64]] = []
        for v in reversed(self.varied):
            place, step = np.divmod(place, v.n)
            columns.insert(0, v.at(step / max(v.n - 1, 1)))
        return np.column_stack(columns)


class Drawn:
    """Points of a scrambled Sobol sequence over the ranges of the keys.

    Parameters
    ----------
    varied : sequence of Varied
        Keys and ranges.
    size : int
        Number of points [1], 1 to `MOST_POINTS`; a power of two is spread most evenly.
    seed : int
        Decides which points; the same seed, the same points.
    """

    def __init__(self, varied: Sequence[Varied], size: int, seed: int) -> None:
        self.varied = tuple(varied)
        self.seed = seed
        self._size = size
        self._place = 0
        self._sequence = sobol_sequence(len(self.varied), seed)

    @property
    def size(self) -> int:
        """Number of points."""
        return self._size

    def points(self, start: int, stop: int) -> NDArray[np.float64]:
        """Values [SI] of points `start` to `stop` (excluded)."""
        if start < self._place:
            self._sequence.reset()
            self._place = 0
        if start > self._place:
            self._sequence.fast_forward(start - self._place)
        shares = draw(self._sequence, stop - start)
        self._place = stop
        return np.column_stack([v.at(shares[:, i]) for i, v in enumerate(self.varied)])


def sobol_sequence(dimensions: int, seed: int) -> Sobol:
    """Return a scrambled Sobol sequence over the unit cube.

    Parameters
    ----------
    dimensions : int
        Of the cube [1].
    seed : int
        Of the scrambling.
    """
    from scipy.stats import qmc

    sequence: Sobol = qmc.Sobol(dimensions, scramble=True, **seeded(qmc.Sobol, np.random.default_rng(seed)))
    return sequence


def seeded(function: Callable[..., Any], generator: np.random.Generator) -> dict[str, Any]:
    """Random numbers for a function of scipy, under the argument's name in this version of it.

    The name changed in scipy 1.15; the numbers did not.
    """
    known = inspect.signature(function).parameters
    return {next(name for name in ("rng", "seed", "random_state") if name in known): generator}


def draw(sequence: Sobol, count: int) -> NDArray[np.float64]:
    """Next points of a sequence, shape (count, dimensions); blocks need not be powers of two."""
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="The balance properties", category=UserWarning)
        return np.asarray(sequence.random(count), dtype=np.float64)
