"""Which of the uncertain values the outcome depends on: Sobol indices of the variance.

The first-order index of a value is the share of the outcome's variance that would go if that value
alone were known; the total index is the share that would remain if everything else were known [1]_.
Without interplay the two are equal and sum to one.

References
----------
.. [1] Saltelli, A. et al., "Variance based sensitivity analysis of model output", Computer Physics
   Communications 181 (2010) 259-270.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.cycle.engine.endings import ENDED
from dryermodel.cycle.run.many import BLOCK, simulate_blocks
from dryermodel.errors import InputError
from dryermodel.readings.gaps import Gaps, gaps_of_rows
from dryermodel.studies.sweep.outcomes import Outcome, find_outcome
from dryermodel.studies.sweep.plan import check_seed
from dryermodel.studies.uncertainty.indices import sobol_study
from dryermodel.studies.uncertainty.uncertain import Uncertain, maker_of, uncertain_from, uncertain_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from dryermodel.scenario.model import Scenario
    from dryermodel.studies.sweep.points import PointMaker

DEFAULT_OUTCOMES = ("cycle_time", "energy")
LEAST_POINTS, MOST_POINTS = 64, 65536
HEAVY_TAIL = 0.5
"""Share of the variance in one run of a hundred above which it is said so."""

CONSTANT = 1.0e-9
"""Relative spread below which an outcome counts as constant: rounding, nothing to share out."""


class Index(NamedTuple):
    """A share of the variance with its confidence interval [1]."""

    value: float
    low: float
    high: float


class Influence(NamedTuple):
    """What one uncertain value does to one outcome."""

    key: str
    first: Index
    total: Index


class Sensitivity(NamedTuple):
    """What one outcome depends on, the most important first."""

    outcome: Outcome
    influences: tuple[Influence, ...]
    mean: float  # [SI]
    deviation: float  # [SI]
    least: float  # [SI]
    greatest: float  # [SI]
    filled: int  # runs in which it did not apply, counted with the run's cycle time
    tail_share: float  # of the variance, in the hundredth of the runs farthest from the mean

    @property
    def constant(self) -> bool:
        """Whether it hardly varied, so that there is nothing to share out."""
        return self.deviation <= CONSTANT * max(abs(self.mean), 1e-300)


class Study(NamedTuple):
    """A sensitivity study."""

    scenario: Scenario
    uncertain: tuple[Uncertain, ...]
    n: int
    seed: int
    runs: int
    at_time_limit: int
    time_limit: float  # [s]
    rel_tolerance: float
    gaps: Gaps
    outcomes: tuple[Sensitivity, ...]

    def notes(self) -> list[str]:
        """What to bear in mind, in words."""
        found = []
        if self.at_time_limit:
            found.append(
                f"{100.0 * self.at_time_limit / self.runs:.2g} % of the runs stopped at the time limit of "
                f"{self.time_limit / 60.0:g} min: their cycle time and energy are cut off there, and the "
                "shares of what makes them long are too small"
            )
        for s in self.outcomes:
            if s.filled:
                found.append(
                    f"{s.outcome.name}: {s.filled} of {self.runs} runs never got there and count with their "
                    "duration"
                )
            if s.tail_share > HEAVY_TAIL and not s.constant:
                found.append(
                    f"{s.outcome.name}: one run in a hundred carries {100.0 * s.tail_share:.0f} % of the "
                    "variance, so the shares are those of rare runs; the intervals say how far to trust them"
                )
            if s.constant:
                found.append(f"{s.outcome.name}: does not vary, so there is nothing to share out")
        return found


def tail_share(values: NDArray[np.float64]) -> float:
    """Share of the variance that lies in the hundredth of the values farthest from the mean.

    >>> round(tail_share(np.array([0.0] * 99 + [50.0])), 2)
    0.99
    """
    squares = np.sort((values - values.mean()) ** 2)
    total = float(squares.sum())
    few = max(len(values) // 100, 1)
    return float(squares[-few:].sum()) / total if total > 0.0 else 0.0


def check_points(n: int) -> None:
    """Raise InputError unless `n` is an admissible power of two."""
    if not LEAST_POINTS <= n <= MOST_POINTS:
        raise InputError(f"is {n}, outside the allowed {LEAST_POINTS} to {MOST_POINTS}", "--n")
    if n & (n - 1):
        below = 1 << (n.bit_length() - 1)
        raise InputError(f"is {n}; it is a power of two, such as {below} or {2 * below}", "--n")


def plan_study(scenario: Scenario, vary: Sequence[str] = (), settings: Sequence[str] = ()) -> list[Uncertain]:
    """Return the uncertain values of a study: those written, or the default ones."""
    return uncertain_from(vary, settings) if vary else uncertain_of(scenario)


def runs_of(uncertain: Sequence[Uncertain], n: int) -> int:
    """Number of cycles a study takes."""
    return n * (len(uncertain) + 2)


def sensitivity(
    scenario: Scenario,
    uncertain: Sequence[Uncertain],
    *,
    n: int = 1024,
    seed: int = 0,
    outcomes: Sequence[str] = DEFAULT_OUTCOMES,
    progress: Callable[[int, int], None] | None = None,
) -> Study:
    """Share out the spread of outcomes among the uncertain values.

    Parameters
    ----------
    scenario : Scenario
        What is known.
    uncertain : sequence of Uncertain
        What is not, at least one.
    n : int
        Base points [1], a power of two from 64 to 65536; takes ``n (d + 2)`` cycles for d values.
    seed : int
        Of the points, 0 or more.
    outcomes : sequence of str
        Names of outcomes.
    progress : callable, optional
        Told how many runs are done, and of how many.

    Returns
    -------
    Study
        Influences by total index, the most important first.

    Raises
    ------
    InputError
        Something is not admissible.
    """
    check_points(n)
    check_seed(seed)
    if not uncertain:
        raise InputError("nothing is uncertain; name a range, e.g. --vary 'vent.length=5 ft:60 ft'", "--vary")
    wanted = [find_outcome(name, "--outcome") for name in dict.fromkeys(outcomes)]
    maker = maker_of(scenario, uncertain)
    kept: list[NDArray[np.void]] = []

    def function(shares: NDArray[np.float64]) -> NDArray[np.float64]:
        kept.append(_run(scenario, maker, uncertain, shares, progress))
        return np.stack([_filled(outcome, kept[0])[0] for outcome in wanted])

    best, low, high = sobol_study(function, len(uncertain), n, seed)
    rows = kept[0]
    base = rows[: 2 * n]  # the mixed points are not independent of these
    found = []
    for s, outcome in enumerate(wanted):
        values, filled = _filled(outcome, base)[0], _filled(outcome, rows)[1]
        influences = [
            Influence(
                u.key,
                Index(*(float(x[0, s, i]) for x in (best, low, high))),
                Index(*(float(x[1, s, i]) for x in (best, low, high))),
            )
            for i, u in enumerate(uncertain)
        ]
        influences.sort(key=lambda influence: -influence.total.value)
        found.append(
            Sensitivity(
                outcome,
                tuple(influences),
                mean=float(values.mean()),
                deviation=float(values.std()),
                least=float(values.min()),
                greatest=float(values.max()),
                filled=filled,
                tail_share=tail_share(values),
            )
        )
    limit = int(np.count_nonzero(~np.isin(rows["end_code"], ENDED)))
    longest = float(scenario.value("controls.time_limit"))
    known = (scenario, tuple(uncertain), n, seed, len(rows), limit, longest, maker.tolerance)
    return Study(*known, gaps_of_rows(rows), tuple(found))


def _run(
    scenario: Scenario,
    maker: PointMaker,
    uncertain: Sequence[Uncertain],
    shares: NDArray[np.float64],
    progress: Callable[[int, int], None] | None,
) -> NDArray[np.void]:
    """Outcomes of all points of the unit cube."""
    points = np.column_stack([u.ppf(shares[:, i]) for i, u in enumerate(uncertain)])

    blocks: list[NDArray[np.void]] = []
    done = 0
    rows = (maker.rows(points[start : start + BLOCK]) for start in range(0, len(points), BLOCK))
    for block in simulate_blocks(rows, interruptions=scenario.interruptions()):
        blocks.append(block)
        done += len(block)
        if progress is not None:
            progress(done, len(points))
    return np.concatenate(blocks)


def _filled(outcome: Outcome, rows: NDArray[np.void]) -> tuple[NDArray[np.float64], int]:
    """Values of an outcome with the cycle time where it does not apply, and how often that was.

    Only the time to a moisture can be missing while a cycle time stands for it; what else is missing
    (a probe half way through drying that never took place) counts as zero.
    """
    values = outcome.values(rows)
    missing = np.isnan(values)
    stand_in = rows["cycle_time_s"] if outcome.si_unit == "s" else np.zeros(len(rows))
    return np.where(missing, stand_in, values), int(missing.sum())
