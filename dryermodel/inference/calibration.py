"""A machine's uncertain values fitted to what was measured on it, and what that cannot determine.

Least squares on measurements and priors together [1]_, from several starts; the intervals follow from the
slopes at the best fit, so they are those of a machine that is nearly linear near it.

.. [1] A. Tarantola, Inverse Problem Theory and Methods for Model Parameter Estimation, SIAM 2005, section
   3.2 (from memory): least squares with a Gaussian prior.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import cached_property
from os import cpu_count
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel import units
from dryermodel.cycle.run.many import as_rows
from dryermodel.errors import InputError, did_you_mean
from dryermodel.inference.fitted_scenario import fitted_scenario, written
from dryermodel.inference.fitting import MISSING, Problem, shown
from dryermodel.inference.priors import priors_of
from dryermodel.scenario.words import known_key
from dryermodel.studies.sweep.vary import quantity_rule
from dryermodel.studies.uncertainty.uncertain import Uncertain

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from dryermodel.field.evidence import Evidence, Measured
    from dryermodel.inference.priors import Priors
    from dryermodel.scenario.model import Scenario

    Array = NDArray[np.float64]

STARTS = 8
"""Points that a fit starts from."""

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

CLOSE_ENOUGH, MOST_STEPS = 1.0e-4, 40
"""Where a fit stops: relative changes of cost and point, and evaluations."""


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


def calibrate(
    scenario: Scenario,
    evidence: Evidence,
    *,
    keys: Sequence[str] | None = None,
    priors: Priors | None = None,
    seed: int = 1,
    starts: int = STARTS,
    progress: Callable[[int, int], None] | None = None,
) -> Calibration:
    """Fit a machine's uncertain values to what was measured on it.

    The machine is taken as it stands in the scenario: healthy, or with the scenario's own faults. Answers
    to yes/no questions play no part.

    Parameters
    ----------
    scenario : Scenario
        The machine as it was taken to be.
    evidence : Evidence
        At least one measurement.
    keys : sequence of str, optional
        What to fit; by default everything that is unknown of such a machine.
    priors : Priors, optional
        What is unknown and how widely; the program's own by default.
    seed : int
        Of the starts.
    starts : int
        Fits, the first from the middle of what is believed and the others from points drawn from it.
    progress : callable, optional
        Told how many starts are done, and of how many.

    Returns
    -------
    Calibration

    Raises
    ------
    InputError
        Nothing was measured, a key that is not among the unknown, or a range whose ends cannot be.

    Examples
    --------
    >>> from dryermodel.field.evidence import gather
    >>> from dryermodel.scenario.model import load_scenario
    >>> known = gather(["gas input=21000 Btu/h"], [])
    >>> found = calibrate(load_scenario("standard"), known, keys=["burner.firing_rate"], starts=1)
    >>> found.fitted[0].status, found.fits
    ('narrowed', True)
    """
    if not evidence.measured:
        raise InputError("nothing was measured: e.g. --measured 'cycle time=75 min'", "calibrate")
    if starts < 1:
        raise InputError(f"is {starts}, allowed 1 and above", "--starts")
    unknown = chosen((priors or priors_of(scenario)).unknown, keys)
    problem = Problem(scenario, evidence.measured, unknown)
    problem.make.check_ends([(u.low, u.high) for u in unknown])
    ends, cycles = _fits(problem, seed, starts, progress)
    return _told(problem, evidence, ends, cycles, seed)


def chosen(unknown: Sequence[Uncertain], keys: Sequence[str] | None) -> list[Uncertain]:
    """Return those of the unknowns that are to be fitted; InputError for a key that is none of them."""
    if not keys:
        return list(unknown)
    wanted, able = [known_key(key.strip()) for key in keys], [u.key for u in unknown]
    for key in wanted:
        if key not in able:
            near = did_you_mean(key, able)
            raise InputError(
                f"'{key}' is none of the values that are fitted{near}: {', '.join(able)}", "--only"
            )
    return [u for u in unknown if u.key in wanted]


def _fits(
    problem: Problem, seed: int, starts: int, progress: Callable[[int, int], None] | None
) -> tuple[list[Start], int]:
    """Return where the fits end, the best first, and the cycles they took; several at a time."""
    points = np.random.default_rng(seed).standard_normal((starts, len(problem.unknown)))
    points[0] = 0.0
    ends, cycles = list[Start](), 0
    pool = ThreadPoolExecutor(cpu_count() or 1)
    try:
        for end, count in pool.map(lambda point: _fit(problem, point), points):
            ends.append(end)
            cycles += count
            if progress is not None:
                progress(len(ends), starts)
    finally:  # whoever stops it does not wait for the starts that are left
        pool.shutdown(cancel_futures=True)
    return sorted(ends, key=lambda s: s.cost), cycles


def _fit(problem: Problem, start: Array) -> tuple[Start, int]:
    """Return where one fit ends, and the cycles it took."""
    from scipy.optimize import least_squares

    end = least_squares(
        problem.residuals, start, jac=problem.slopes, loss=problem.loss, max_nfev=MOST_STEPS,
        xtol=CLOSE_ENOUGH, ftol=CLOSE_ENOUGH, gtol=CLOSE_ENOUGH,
    )  # fmt: skip
    return Start(float(end.cost), np.asarray(end.x)), end.nfev + 2 * len(start) * end.njev


def _told(problem: Problem, evidence: Evidence, ends: list[Start], cycles: int, seed: int) -> Calibration:
    """Return what the best of the fits comes to."""
    point = ends[0].point
    covariance = problem.spread_of(point)
    cycles += 1 + 2 * len(point)
    texts = _texts(problem, point)
    machine = fitted_scenario(problem.scenario, texts)
    before, after = (_single(s, problem.measured) for s in (problem.scenario, machine))
    compared = tuple(
        Compared(m, float(b), float(a), float(s))
        for m, b, a, s in zip(problem.measured, before[1], after[1], problem.scale, strict=True)
    )
    return Calibration(
        problem.scenario, machine, evidence, _fitted(problem, point, covariance, texts), texts, compared,
        covariance, tuple(ends), np.concatenate([before[0], after[0]]), cycles + 2, seed,
    )  # fmt: skip


def _texts(problem: Problem, point: Array) -> dict[str, str]:
    """Fitted values as written, and behind each the set points that move with it alone."""
    values = [float(v) for v in problem.values(point[None, :])[0]]
    model = problem.make.model(values)
    own = {u.key for u in problem.unknown}
    found: dict[str, str] = {}
    for u, value in zip(problem.unknown, values, strict=True):
        found[u.key] = written(u.key, value)
        for key in u.moves_with:
            if key not in own:
                section, name = key.split(".")
                found[key] = written(key, float(getattr(getattr(model, section), name)))
    return found


def _single(scenario: Scenario, measured: Sequence[Measured]) -> tuple[NDArray[np.void], Array]:
    """The cycle of a scenario as it is computed alone, and what it shows of the measurements [SI]."""
    outcomes, predicted = shown(scenario, as_rows([scenario.to_parameters()]), measured)
    return outcomes, predicted[0]


def _fitted(problem: Problem, point: Array, covariance: Array, texts: dict[str, str]) -> tuple[Fitted, ...]:
    sd = np.sqrt(np.diag(covariance))
    ends = [problem.values(np.array([p]))[0] for p in (point - WITHIN * sd, point + WITHIN * sd)]
    before = [problem.values(np.full((1, len(sd)), p))[0] for p in (-WITHIN, WITHIN)]
    return tuple(
        Fitted(
            u, _read(u.key, texts[u.key]), (float(ends[0][i]), float(ends[1][i])),
            (float(before[0][i]), float(before[1][i])), float(point[i]), float(sd[i]),
        )
        for i, u in enumerate(problem.unknown)
    )  # fmt: skip


def _read(key: str, text: str) -> float:
    return units.parse(text, quantity_rule(key).kind)
