"""A cycle as a pandas table: one row a step, the unit in every column's name."""

from __future__ import annotations

import math
import re
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from dryermodel.errors import InputError
from dryermodel.kinds import KINDS
from dryermodel.vocabulary import SERIES

if TYPE_CHECKING:
    import pandas as pd
    from numpy.typing import NDArray

    from dryermodel.cycle.result import CycleResult

SHORTEST_STEP, LONGEST_STEP = 0.1, 3600.0
"""Admissible seconds between rows; a row each 0.1 s is already finer than the thermometers."""


SWITCHED = tuple(quantity.name for quantity in SERIES if quantity.kind == "switch")
"""Columns that are 0 or 1."""

_BY_SI_NAME = {quantity.si: quantity for quantity in SERIES}


@cache
def affine(unit: str) -> tuple[float, float]:
    """Scale and offset that take an SI number to a unit: ``scale * si + offset``.

    Taken from two conversions, so that a whole column costs two of them and no more.

    Parameters
    ----------
    unit : str
        Unit as :func:`dryermodel.units.convert` reads it.

    Returns
    -------
    tuple of float
        Scale [unit per SI unit] and offset [unit].

    Raises
    ------
    ValueError
        The unit is unknown.

    Examples
    --------
    >>> scale, offset = affine("degF")
    >>> round(scale, 9), round(offset, 9)
    (1.8, -459.67)
    """
    from dryermodel.units import convert

    offset = convert(0.0, unit)
    return (convert(1000.0, unit) - offset) / 1000.0, offset


def people_column(name: str) -> tuple[str, str]:
    """Column name in people's units, and the unit, empty for a plain number.

    Parameters
    ----------
    name : str
        Name of a quantity of :meth:`dryermodel.cycle.result.CycleResult.sample`.

    Examples
    --------
    >>> people_column("exhaust_temp_K")
    ('exhaust_temp_degF', 'degF')
    >>> people_column("flame_sensor")
    ('flame_sensor', '')
    """
    quantity = _BY_SI_NAME[name]
    return quantity.trade, KINDS[quantity.kind].trade.unit


def to_frame(result: CycleResult, step: float = 10.0, si: bool = False) -> pd.DataFrame:
    """Table of one cycle, a row at 0 s and every `step` seconds until its end.

    Parameters
    ----------
    result : CycleResult
        The cycle.
    step : float
        Seconds between rows [s], 0.1 to 3600.
    si : bool
        SI units (K, kg, m3/s, Pa, W, s) instead of degF, lb, cfm, in w.c., Btu/h and min.

    Returns
    -------
    pandas.DataFrame
        Units in the column names; contacts and loads are integers, 1 closed or energised. Of a load of unlike
        pieces the last columns hold moisture and temperature of each kind.

    Raises
    ------
    InputError
        `step` is outside its range.
    """
    import pandas as pd

    if not (math.isfinite(step) and SHORTEST_STEP <= step <= LONGEST_STEP):
        raise InputError(
            f"is {step:g} s, outside the allowed {SHORTEST_STEP:g} s to {LONGEST_STEP:g} s", "", "step"
        )
    # Multiples of the step rather than a running sum, which would drift by rounding.
    rows = math.floor(result.cycle_time / step * (1.0 + 1e-12)) + 1
    times = np.minimum(np.arange(rows) * step, result.cycle_time)
    columns: dict[str, NDArray[np.generic]] = {}
    for name, values in result.sample(times).items():
        if name in SWITCHED:
            columns[name] = values.astype(np.int8)
            continue
        people, unit = people_column(name)
        if si or not unit:
            columns[name] = values
        else:
            scale, offset = affine(unit)
            columns[people] = scale * values + offset
    return pd.DataFrame(columns | _piece_columns(result, times, si))


def _piece_columns(
    result: CycleResult, times: NDArray[np.float64], si: bool
) -> dict[str, NDArray[np.generic]]:
    """Moisture and temperature of each kind of a load of unlike pieces, under its name."""
    kinds = result.sample_pieces(times)
    columns: dict[str, NDArray[np.generic]] = {}
    for plain, kind in zip(_plain_names([kind.name for kind in kinds]), kinds, strict=True):
        if len(kinds) > 1:
            for name, values in (("moisture", kind.moisture), ("load_temp_K", kind.temp_K)):
                quantity = _BY_SI_NAME[name]._replace(name=f"{_BY_SI_NAME[name].name}_{plain}")
                scale, offset = (1.0, 0.0) if si else affine(KINDS[quantity.kind].trade.unit)
                columns[quantity.si if si else quantity.trade] = scale * values + offset
    return columns


def _plain_names(names: list[str]) -> list[str]:
    """Names fit for a column, unlike ones kept apart.

    >>> _plain_names(["mixed cloth", "Jeans", "mixed-cloth", "?"])
    ['mixed_cloth', 'jeans', 'mixed_cloth_3', 'piece_4']
    """
    found: list[str] = []
    for place, name in enumerate(names, start=1):
        plain = re.sub(r"\W+", "_", name.lower()).strip("_") or f"piece_{place}"
        found.append(f"{plain}_{place}" if plain in found else plain)
    return found
