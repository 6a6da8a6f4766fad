"""A machine's uncertain values fitted to what was measured on it, and what that cannot determine.

Least squares on measurements and priors together [1]_, from several starts; the intervals follow from the
slopes at the best fit, so they are those of a machine that is nearly linear near it.

References
----------
.. [1] A. Tarantola, Inverse Problem Theory and Methods for Model Parameter Estimation, SIAM 2005, section
   3.2 (from memory): least squares with a Gaussian prior.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from os import cpu_count
from typing import TYPE_CHECKING

import numpy as np

from dryermodel import units
from dryermodel.cycle.run.many import as_rows
from dryermodel.errors import InputError, did_you_mean
from dryermodel.inference.fit_result import WITHIN, Calibration, Compared, Fitted, Start
from dryermodel.inference.fitted_scenario import fitted_scenario, written
from dryermodel.inference.fitting import Problem, shown
from dryermodel.inference.priors import priors_of
from dryermodel.scenario.words import known_key
from dryermodel.studies.sweep.vary import quantity_rule

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from dryermodel.field.evidence import Evidence, Measured
    from dryermodel.inference.priors import Priors
    from dryermodel.scenario.model import Scenario
    from dryermodel.studies.uncertainty.uncertain import Uncertain

    Array = NDArray[np.float64]

STARTS = 8
"""Points that a fit starts from."""

CLOSE_ENOUGH, MOST_STEPS = 1.0e-4, 40
"""Where a fit stops: relative changes of cost and point, and evaluations."""


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
