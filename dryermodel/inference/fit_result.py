"""What a fit came to: values with intervals, readings before and after, what is known only together."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.inference.fitting import MISSING
from dryermodel.studies.uncertainty.uncertain import Uncertain

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from dryermodel.field.evidence import Evidence, Measured
    from dryermodel.scenario.model import Scenario

    Array = NDArray[np.float64]

WITHIN = 1.2815515655446004
"""Half of an interval of 80 % [standard deviations]."""

KNOWN, NARROWED = 0.5, 0.9
"""Spread left of the spread before below which a value is determined, and below which it is narrowed."""

UNLIKELY = 0.01
"""Chance [1] below which measurements do not fit the machine as it was taken to be."""

OFF = 3.0
"""Standard deviations from which a single measurement is named."""

ALIKE = 0.5
"""Cost [1] above the best fit's up to which another fit is as good: a likelihood ratio of 1.6."""

TOGETHER = 0.3
"""Correlation from which two values are named as a pair."""

SET_POINTS = {"machine.exhaust_cut_in": "exhaust thermostat closes at"}
"""Words for a value that the ranges know by another thing that it decides."""


class Compared(NamedTuple):
    """One measurement beside what the machine shows, before the fit and after it."""

    measured: Measured
    before: float  # [SI] of the scenario as it is; NaN if the machine has no such number
    after: float  # [SI] of the fitted one
    scale: float  # [SI] standard deviation of instrument and model together

    @property
    def misses(self) -> tuple[float, float]:
        """How far off before and after are [standard deviations]."""
        return tuple((v - self.measured.value) / self.scale for v in (self.before, self.after))  # type: ignore[return-value]


class Fitted(NamedTuple):
    """One value that was fitted."""

    unknown: Uncertain
    value: float  # [SI], rounded as it is written
    interval: tuple[float, float]  # [SI] of 80 %
    prior: tuple[float, float]  # [SI] of 80 %, before anything was measured
    point: float  # in standard normal numbers
    left: float  # [1] spread after over spread before, in the same numbers

    @property
    def key(self) -> str:
        """Dotted key."""
        return self.unknown.key

    @property
    def words(self) -> str:
        """What it is, in plain words."""
        return SET_POINTS.get(self.key, self.unknown.words)

    @property
    def determined(self) -> bool:
        """Whether the measurements say something of it."""
        return self.left < NARROWED

    @property
    def status(self) -> str:
        """How well it is known in a word or two."""
        if self.left < KNOWN:
            return "determined"
        return "narrowed" if self.determined else "not determined"


class Pair(NamedTuple):
    """Two values that the measurements determine together rather than each."""

    first: str
    second: str
    correlation: float  # [1]


class Start(NamedTuple):
    """Where one of the fits ended."""

    cost: float
    point: Array


@dataclass(frozen=True)
class Calibration:
    """A machine fitted to what was measured on it.

    Attributes
    ----------
    scenario, machine : Scenario
        As it was taken to be, and as fitted.
    evidence : Evidence
        What it was fitted to.
    fitted : tuple of Fitted
        In the order of the ranges.
    texts : mapping of dotted key to text
        Fitted values as a scenario file holds them, with set points that move along.
    compared : tuple of Compared
        Each measurement before and after.
    covariance : ndarray
        Of the standard normal numbers behind `fitted`.
    starts : tuple of Start
        Best first.
    outcomes : structured ndarray of OUTCOME_ROW, shape (2,)
        The cycles before and after.
    cycles, seed : int
        Cycles simulated, and the seed of the starts.
    """

    scenario: Scenario
    machine: Scenario
    evidence: Evidence
    fitted: tuple[Fitted, ...]
    texts: dict[str, str]
    compared: tuple[Compared, ...]
    covariance: Array
    starts: tuple[Start, ...]
    outcomes: NDArray[np.void]
    cycles: int
    seed: int

    def fitted_of(self, key: str) -> Fitted:
        """Return what became of a key."""
        return next(f for f in self.fitted if f.key == key)

    @property
    def undetermined(self) -> list[Fitted]:
        """Values that the measurements say nothing of."""
        return [f for f in self.fitted if not f.determined]

    @cached_property
    def pairs(self) -> list[Pair]:
        """Values that trade against each other, the strongest first."""
        sd = np.sqrt(np.diag(self.covariance))
        r = self.covariance / np.outer(sd, sd)
        found = [
            Pair(self.fitted[i].key, self.fitted[j].key, float(r[i, j]))
            for i in range(len(sd))
            for j in range(i + 1, len(sd))
            if abs(r[i, j]) >= TOGETHER
        ]
        return sorted(found, key=lambda p: -abs(p.correlation))

    @property
    def missing(self) -> list[Compared]:
        """Measurements of which the fitted machine shows nothing."""
        return [c for c in self.compared if math.isnan(c.after)]

    @property
    def chi_square(self) -> float:
        """Squared misses of the measurements and of the values' priors, summed up.

        Of a machine that is as it was taken to be, about as large as the number of measurements.
        """
        missed = [MISSING if math.isnan(c.after) else c.misses[1] for c in self.compared]
        return float(sum(v * v for v in missed) + sum(f.point**2 for f in self.fitted))

    @property
    def chance(self) -> float:
        """Chance [1] of measurements at least as far off, if the machine is as it was taken to be."""
        from scipy.special import chdtrc

        return float(chdtrc(len(self.compared), self.chi_square))

    @property
    def fits(self) -> bool:
        """Whether the measurements fit such a machine."""
        return self.chance >= UNLIKELY and not self.missing

    @property
    def off(self) -> list[Compared]:
        """Measurements that stay far off, the worst first."""
        return sorted((c for c in self.compared if abs(c.misses[1]) >= OFF), key=lambda c: -abs(c.misses[1]))

    @property
    def agreeing(self) -> list[Start]:
        """Starts that ended in a fit as good as the best."""
        return [s for s in self.starts if s.cost <= self.starts[0].cost + ALIKE]

    @cached_property
    def wandering(self) -> tuple[str, float]:
        """Key that differs most between fits that are as good, and by how many of its own spreads [1]."""
        sd = np.sqrt(np.diag(self.covariance))
        apart = np.ptp(np.array([s.point for s in self.agreeing]), axis=0) / sd
        most = int(apart.argmax())
        return self.fitted[most].key, float(apart[most])
