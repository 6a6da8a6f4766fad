"""What a fit compares: measurements beside what the machine at a point of the unknowns would show.

A point holds one number for each unknown, with a standard normal distribution before anything is
measured; see :mod:`dryermodel.inference.draws`. Everything is weighed in standard deviations: how far a
prediction lies from its measurement, and how far an unknown lies from its middle.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from dryermodel.cycle.run.many import simulate_many
from dryermodel.inference.bank import gas_of, pressures_of
from dryermodel.inference.draws import values_of
from dryermodel.inference.likelihood import number_of, spread
from dryermodel.inference.numbers import Machines, numbers_of
from dryermodel.inference.priors import Hypothesis
from dryermodel.studies.sweep.points import PointMaker

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from dryermodel.field.evidence import Measured
    from dryermodel.scenario.model import Scenario
    from dryermodel.studies.uncertainty.uncertain import Uncertain

    Array = NDArray[np.float64]

TOLERANCE = 1.0e-5
"""Relative tolerance of the cycles of a fit: differences of neighbours must be the machine's, not the
integrator's."""

STEP = 0.5
"""Half of the step [standard deviations] of the differences: wide, since a cycle time jumps by a burner
stroke here and there, and narrower steps would take one jump for the slope."""

MISSING = 4.0
"""Residual [standard deviations] of a measurement of which the machine shows nothing, such as the strokes of
a burner that never lit."""

BENDS = 2.0
"""Residual [standard deviations] from which a measurement counts less than squared: it may be a slip."""


class Problem:
    """Residuals of a machine against its measurements, and how they change with the unknowns.

    Parameters
    ----------
    scenario : Scenario
        The machine, with its faults.
    measured : sequence of Measured
        At least one.
    unknown : sequence of Uncertain
        What may be fitted.
    """

    def __init__(
        self, scenario: Scenario, measured: Sequence[Measured], unknown: Sequence[Uncertain]
    ) -> None:
        self.scenario, self.measured, self.unknown = scenario, tuple(measured), tuple(unknown)
        moving = {u.key: u.moves_with for u in self.unknown}
        self.make = PointMaker(scenario, [u.key for u in self.unknown], moving, "calibrate")
        self.target = np.array([m.value for m in self.measured])
        # At the measured value, not the predicted one: a worse fit must not be excused by a wider error.
        self.scale = np.array([float(spread(m, np.array(m.value))) for m in self.measured])

    def values(self, points: Array) -> Array:
        """Values [SI] of the unknowns at points, both of shape (n, unknown)."""
        return values_of(self.unknown, points)

    def predicted(self, points: Array) -> Array:
        """What the machines at points, shape (n, unknown), would show [SI], shape (n, measurements)."""
        rows = self.make.rows(self.values(points))
        rows["rel_tolerance"] = TOLERANCE
        return shown(self.scenario, rows, self.measured)[1]

    def misses(self, predicted: Array) -> Array:
        """How far predictions, shape (..., measurements), lie from the measurements [1]; NaN for none."""
        return np.asarray((predicted - self.target) / self.scale)

    def residuals(self, point: Array) -> Array:
        """Residuals [1] of one point: of the measurements, then of the unknowns themselves."""
        missed = self.misses(self.predicted(point[None, :])[0])
        return np.concatenate([np.where(np.isnan(missed), MISSING, missed), point])

    def slopes(self, point: Array, step: float = STEP) -> Array:
        """How the residuals change with the unknowns, shape (measurements + unknown, unknown).

        Central differences, the cycles of all columns in one batch. Where one of two neighbours shows
        nothing, nothing is known of the slope and it is nought.
        """
        size = len(point)
        moves = step * np.eye(size)
        missed = self.misses(self.predicted(np.concatenate([point + moves, point - moves])))
        rise = (missed[:size] - missed[size:]).T / (2.0 * step)
        return np.concatenate([np.nan_to_num(rise, nan=0.0), np.eye(size)])

    def loss(self, squares: Array) -> Array:
        """What squared residuals count, with two derivatives, shape (3, n), for `least_squares`.

        Measurements: soft L1 with its bend at `BENDS`; unknowns: their square.
        """
        n = len(self.measured)
        counted = np.stack([squares, np.ones_like(squares), np.zeros_like(squares)])
        inner = 1.0 + squares[:n] / BENDS**2
        counted[0, :n] = 2.0 * BENDS**2 * (np.sqrt(inner) - 1.0)
        counted[1, :n] = inner**-0.5
        counted[2, :n] = -0.5 / BENDS**2 * inner**-1.5
        return counted

    def cost(self, residuals: Array) -> float:
        """What a fit minimises [1]."""
        return 0.5 * float(self.loss(residuals**2)[0].sum())

    def spread_of(self, point: Array) -> Array:
        """Covariance [1] of the unknowns about a fit: inverse of the weighed squared slopes."""
        residuals, slopes = self.residuals(point), self.slopes(point)
        weights = self.loss(residuals**2)[1]
        return np.asarray(np.linalg.inv(slopes.T @ (weights[:, None] * slopes)))


def shown(
    scenario: Scenario, rows: NDArray[np.void], measured: Sequence[Measured]
) -> tuple[NDArray[np.void], Array]:
    """Simulate rows; return the outcomes and what the machines would show [SI], shape (n, measurements).

    Parameters
    ----------
    scenario : Scenario
        Whose gas, faults and interruptions the rows share.
    rows : structured ndarray of PARAMETER_ROW, shape (n,)
        One machine each.
    measured : sequence of Measured
        What is asked for.
    """
    out = simulate_many(rows, interruptions=scenario.interruptions())
    faults = Hypothesis(tuple(scenario.faults), 1.0)
    severities = np.array([list(scenario.faults.values())])
    gas = gas_of([faults], np.zeros(1, dtype=np.int64), severities)
    machines = Machines(rows, out, *(np.full(len(rows), share[0]) for share in gas))
    numbers = numbers_of(machines, None, *pressures_of(scenario))
    return out, np.column_stack([number_of(numbers, m.number) for m in measured])
