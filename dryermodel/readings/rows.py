"""How each reading of the vocabulary is got from the rows of many runs."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np

from dryermodel.cycle.engine.endings import ENDED
from dryermodel.cycle.engine.outcome import OUTCOMES
from dryermodel.vocabulary import READINGS

if TYPE_CHECKING:
    from numpy.typing import NDArray

COLUMNS: dict[str, str] = {r.name: r.si for r in READINGS.values() if r.si in OUTCOMES}
"""Readings that stand in a row as they are, and their columns there."""

LEAST_WATER = 1.0e-6
"""Water removed [kg] below which nothing is said of energy per water, as of a single cycle."""


def _sum(rows: NDArray[np.void]) -> NDArray[np.float64]:
    return column(rows, "gas_energy") + column(rows, "electric_energy")


def _per_water(rows: NDArray[np.void]) -> NDArray[np.float64]:
    water = column(rows, "water_removed")
    some = water > LEAST_WATER
    return np.where(some, _sum(rows) / np.where(some, water, 1.0), np.nan)


def _ended(rows: NDArray[np.void]) -> NDArray[np.float64]:
    return np.isin(rows["end_code"], ENDED).astype(np.float64)


DERIVED: dict[str, Callable[[NDArray[np.void]], NDArray[np.float64]]] = {
    "energy": _sum,
    "energy_per_water": _per_water,
    "ended": _ended,
}
"""Readings that follow from the columns of a row."""


def column(rows: NDArray[np.void], name: str) -> NDArray[np.float64]:
    """Values [SI] of one reading in many runs; NaN where a run has none.

    Parameters
    ----------
    rows : structured ndarray of OUTCOME_ROW, shape (n,)
        From :func:`dryermodel.cycle.run.many.simulate_many`.
    name : str
        A key of `COLUMNS` or `DERIVED`.

    Returns
    -------
    ndarray, shape (n,)

    Raises
    ------
    KeyError
        Rows do not hold that reading.
    """
    if name in DERIVED:
        return DERIVED[name](rows)
    return np.asarray(rows[COLUMNS[name]], dtype=np.float64)


def row_readings(row: np.void) -> dict[str, float | None]:
    """Every reading of one row by its name in the vocabulary [SI]; None where it has none.

    Parameters
    ----------
    row : void of OUTCOME_ROW
        One of many runs.
    """
    one = np.array([row])
    values = {name: float(column(one, name)[0]) for name in (*COLUMNS, *DERIVED)}
    return {name: None if value != value else value for name, value in values.items()}
