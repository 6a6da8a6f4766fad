"""How well the balances of some cycles close."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, NamedTuple

from dryermodel.readings.rows import column

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from dryermodel.cycle.result import CycleResult


class Gaps(NamedTuple):
    """The widest gaps of the water and the energy balance among some cycles, with their signs [1]."""

    water: float
    energy: float


def gaps_of(results: Iterable[CycleResult]) -> Gaps:
    """Widest gaps of single cycles, at least one."""
    pairs = [(result.balance_water, result.balance_energy) for result in results]
    return Gaps(*(max(values, key=abs) for values in zip(*pairs, strict=True)))


def gaps_of_rows(rows: NDArray[np.void]) -> Gaps:
    """Widest gaps of rows of many runs, at least one."""
    names = ("balance_water", "balance_energy")
    return Gaps(*(max(column(rows, name).tolist(), key=abs) for name in names))
