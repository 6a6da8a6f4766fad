"""Machines drawn from the priors: a point in standard normal numbers becomes the parameters of a cycle.

Everything unknown, and every severity, is a number with a standard normal distribution, so that a
proposal near what was measured is a normal distribution too, whatever the shape of the prior.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from dryermodel.cycle.run.columns import Column, fill, on_columns
from dryermodel.cycle.run.many import PARAMETER_ROW
from dryermodel.errors import InputError
from dryermodel.scenario.faults import apply_faults
from dryermodel.studies.sweep.points import PointMaker

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from dryermodel.cycle.engine.parameters import Parameters
    from dryermodel.inference.priors import Hypothesis, Priors
    from dryermodel.scenario.model import Scenario
    from dryermodel.studies.uncertainty.uncertain import Uncertain

SEVERITIES = 2
"""First columns of a point: how bad the first and the second fault are."""

TOLERANCE = 1.0e-3
"""Relative tolerance of the bank's cycles: times to better than a tenth of a percent, where the model itself
is trusted to several."""

EDGE = 6.0
"""Standard deviations beyond which a point is taken at the edge."""


class Drawer:
    """Makes the rows of parameters of points.

    Parameters
    ----------
    scenario : Scenario
        The healthy machine.
    priors : Priors
        What is unknown of it.
    """

    def __init__(self, scenario: Scenario, priors: Priors) -> None:
        self.priors = priors
        self.healthy = scenario.with_faults({})
        unknown = priors.unknown
        self._make = PointMaker(
            self.healthy, [u.key for u in unknown], {u.key: u.moves_with for u in unknown}, "priors"
        )

    @property
    def width(self) -> int:
        """Numbers in a point."""
        return SEVERITIES + len(self.priors.unknown)

    def severities(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Severities [1] of points, shape (n, 2): uniform from the least to 1."""
        from scipy.special import ndtr

        least = self.priors.least_severity
        return np.asarray(least + (1.0 - least) * ndtr(points[:, :SEVERITIES]))

    def values(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Values [SI] of what is unknown, shape (n, unknown)."""
        return values_of(self.priors.unknown, points[:, SEVERITIES:])

    def rows(
        self, hypotheses: Sequence[Hypothesis], which: NDArray[np.int64], points: NDArray[np.float64]
    ) -> NDArray[np.void]:
        """Parameter rows of points, one cycle each.

        Parameters
        ----------
        hypotheses : sequence of Hypothesis
            What they are numbered by.
        which : ndarray of int, shape (n,)
            Hypothesis of each point.
        points : ndarray, shape (n, width)
            Standard normal numbers.

        Returns
        -------
        structured ndarray of PARAMETER_ROW, shape (n,)
        """
        numbers = np.hstack([self.severities(points), self.values(points)])
        out = np.empty(len(points), PARAMETER_ROW)
        for h in np.unique(which):
            mine = np.flatnonzero(which == h)
            out[mine] = self._rows_with(hypotheses[h], numbers[mine])
        return out

    def _rows_with(self, h: Hypothesis, numbers: NDArray[np.float64]) -> NDArray[np.void]:
        """Rows of one hypothesis; its severities before the values of what is unknown."""

        def one(point: list[float]) -> Parameters:
            return self._with(h, self._make(point[SEVERITIES:]), point, apply_faults)

        def abreast(columns: list[Column]) -> Parameters:
            return self._with(h, self._make.abreast(columns[SEVERITIES:]), columns, on_columns(apply_faults))

        out = np.empty(len(numbers), PARAMETER_ROW)
        fill(out, numbers, abreast, one)
        return out

    def _with(self, h: Hypothesis, parameters: Parameters, bad: Sequence[Any], apply: Any) -> Parameters:
        faults = severities_of(h, bad)
        try:
            parameters = apply(parameters, faults) if faults else parameters
        except InputError as problem:
            raise InputError(f"{h.name}: {problem.message}", "priors") from problem
        return parameters._replace(rel_tolerance=TOLERANCE)


def values_of(unknown: Sequence[Uncertain], points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Values [SI] of unknowns, shape (n, unknown), at standard normal numbers of the same shape.

    >>> from dryermodel.studies.uncertainty.uncertain import Uncertain
    >>> u = Uncertain("room.temperature", "uniform", 290.0, 295.0, 300.0, (), "", "", "assumed")
    >>> values_of([u], np.array([[0.0]])).tolist()
    [[295.0]]
    """
    from scipy.special import ndtr

    shares = ndtr(np.clip(points, -EDGE, EDGE))
    columns = [u.ppf(shares[:, i]) for i, u in enumerate(unknown)]
    return np.column_stack(columns) if columns else np.zeros((len(points), 0))


def severities_of(h: Hypothesis, bad: Sequence[Any] | NDArray[np.float64]) -> dict[str, Any]:
    """Severity [1] of each fault of a hypothesis; 1 for one that is there or not.

    >>> from dryermodel.inference.priors import Hypothesis
    >>> severities_of(Hypothesis(("igniter_open", "weak_burner"), 1.0), [0.3, 0.7])
    {'igniter_open': 1.0, 'weak_burner': 0.7}
    """
    graded = h.graded
    return {key: bad[i] if key in graded else 1.0 for i, key in enumerate(h.faults)}
