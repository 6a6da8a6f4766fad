"""A cycle as a pandas table: one row a step, the unit in every column's name."""

from __future__ import annotations

import math
from functools import cache
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.errors import InputError

if TYPE_CHECKING:
    import pandas as pd
    from numpy.typing import NDArray

    from dryermodel.cycle.result import CycleResult

SHORTEST_STEP, LONGEST_STEP = 0.1, 3600.0
"""Admissible seconds between rows; a row each 0.1 s is already finer than the thermometers."""


class Suffix(NamedTuple):
    """How a SI quantity's name ends, how it ends in people's units, and that unit."""

    si: str
    people: str
    unit: str


# The first that fits counts, so longer endings stand before shorter ones.
SUFFIXES = (
    Suffix("_kg_per_s", "_lb_per_min", "lb/min"),
    Suffix("_m3_per_s", "_cfm", "cfm"),
    Suffix("electric_power_W", "electric_power_W", "W"),
    Suffix("_kg", "_lb", "lb"),
    Suffix("_Pa", "_inwc", "inH2O"),
    Suffix("_K", "_degF", "degF"),
    Suffix("_s", "_min", "min"),
    Suffix("_W", "_Btu_per_h", "Btu/h"),
    Suffix("moisture", "moisture_percent", "%"),
)

SWITCHED = (
    "motor",
    "heat_call",
    "igniter",
    "heat",
    "timer_motor",
    "exhaust_thermostat",
    "high_limit",
    "thermal_cutoff",
    "flame_sensor",
    "timer_heat_contact",
)
"""Columns that are 0 or 1."""


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
    for suffix in SUFFIXES:
        if name.endswith(suffix.si):
            return name.removesuffix(suffix.si) + suffix.people, suffix.unit
    return name, ""


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
        Units in the column names; contacts and loads are integers, 1 closed or energised.

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
    rows = math.floor(result.duration / step * (1.0 + 1e-12)) + 1
    times = np.minimum(np.arange(rows) * step, result.duration)
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
    return pd.DataFrame(columns)
