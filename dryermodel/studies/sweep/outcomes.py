"""What is kept of each of many cycles, in the order and the words in which it is shown."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.cycle.frame import affine
from dryermodel.cycle.reasons import EndReason
from dryermodel.errors import InputError, did_you_mean
from dryermodel.kinds import KINDS, with_unit
from dryermodel.readings.rows import column as reading_column
from dryermodel.vocabulary import READINGS, Reading

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

TEXT_COLUMN = "end_reason"
"""The one column that holds words."""

DIGITS = 10
"""Significant digits of a written number."""

EXACT = 22.0
"""Most decimals of a written number."""


def as_written(values: ArrayLike) -> NDArray[np.float64]:
    """Round numbers to the digits that are written, so that a table is the same in every form.

    >>> as_written([0.1 + 0.2, 4.999999999999999, -0.0, 1.2345678901234e7]).tolist()
    [0.3, 5.0, 0.0, 12345678.9]
    """
    x = np.asarray(values, dtype=np.float64)
    size = np.abs(np.where((x == 0.0) | ~np.isfinite(x), 1.0, x))
    # Powers of ten are exact up to this one, and their inverses are not.
    places = np.minimum(DIGITS - 1 - np.floor(np.log10(size)), EXACT)
    up, down = 10.0 ** np.maximum(places, 0.0), 10.0 ** np.maximum(-places, 0.0)
    return np.asarray(np.rint(x * up / down) / up * down + 0.0)


class Outcome(NamedTuple):
    """One number a cycle ends with, as a sweep's table shows it."""

    reading: Reading

    @property
    def name(self) -> str:
        """Without unit: what a person writes to choose it."""
        return self.reading.column

    @property
    def words(self) -> str:
        """On a picture or in a table."""
        return self.reading.words

    @property
    def unit(self) -> str:
        """People's unit; empty for a plain number."""
        return KINDS[self.reading.kind].name_unit

    @property
    def si_unit(self) -> str:
        """Its SI unit."""
        return KINDS[self.reading.kind].si_unit

    def values(self, rows: NDArray[np.void]) -> NDArray[np.float64]:
        """Values [SI] of many cycles; NaN where it does not apply."""
        return reading_column(rows, self.reading.name)

    def shown(self, values: NDArray[np.float64], si: bool = False) -> NDArray[np.float64]:
        """SI values as numbers in the unit shown."""
        if si or not self.unit:
            return values
        scale, offset = affine(self.unit)
        return scale * values + offset

    def read_unit(self, si: bool = False) -> str:
        """Unit for eyes: in SI the metric one of its kind, kWh and min in place of J and s."""
        return KINDS[self.reading.kind].metric.unit if si else self.unit

    def read(self, values: NDArray[np.float64], si: bool = False) -> NDArray[np.float64]:
        """SI values as numbers for eyes.

        >>> [outcome] = [o for o in OUTCOMES if o.name == "energy"]
        >>> outcome.read(np.array([1.8e7]), si=True).tolist(), outcome.read_unit(si=True)
        ([5.0], 'kWh')
        """
        unit = self.read_unit(si)
        scale, offset = affine(unit) if unit else (1.0, 0.0)
        return scale * values + offset

    def label(self, si: bool = False) -> str:
        """Words with the unit, for an axis."""
        unit = self.read_unit(si)
        return f"{self.words} [{unit}]" if unit else self.words


NAMES = (
    "cycle_time",
    "time_to_marked",
    "final_moisture",
    "wettest_final_moisture",
    "water_removed",
    "energy",
    "gas_energy",
    "electric_energy",
    "burner_time",
    "timer_time",
    "burner_cycles",
    "high_limit_trips",
    "ignition_tries",
    "load_temp_max",
    "exhaust_element_max",
    "mid_drying_exhaust_temp",
    "mid_drying_flow",
    "mid_drying_static",
    "balance_water",
    "balance_energy",
)
"""Readings in the table, in its order."""

OUTCOMES: tuple[Outcome, ...] = tuple(Outcome(READINGS[name]) for name in NAMES)
"""The same as they are shown."""


@cache
def outcome_names() -> tuple[str, ...]:
    """Names of all outcomes."""
    return tuple(outcome.name for outcome in OUTCOMES)


def find_outcome(name: str, where: str) -> Outcome:
    """Return the outcome of a name; InputError with the nearest names if there is none.

    Parameters
    ----------
    name : str
        Such as ``"cycle_time"``.
    where : str
        Option that asks for it, for the message.
    """
    for outcome in OUTCOMES:
        if outcome.name == name:
            return outcome
    near = did_you_mean(name, outcome_names())
    raise InputError(f"no outcome '{name}'{near}; outcomes: {', '.join(outcome_names())}", where)


def column(outcome: Outcome, marked_moisture: float | None, si: bool = False) -> str:
    """Name of an outcome's column, unit included.

    Parameters
    ----------
    outcome : Outcome
        The outcome.
    marked_moisture : float or None
        Moisture whose first crossing is recorded [kg/kg]; None if it varies.
    si : bool
        SI units.

    >>> column(OUTCOMES[1], 0.04), column(OUTCOMES[5], 0.04, si=True)
    ('time_to_4pct_min', 'energy_J')
    """
    name = outcome.name
    if outcome.reading.name == "time_to_marked":
        name = "time_to_marked" if marked_moisture is None else f"time_to_{_percent(marked_moisture)}pct"
    unit = outcome.si_unit if si else outcome.unit
    return with_unit(name, unit)


def _percent(moisture: float) -> str:
    return f"{100.0 * moisture:.6g}".replace(".", "p")


def time_to_dry_words(marked_moisture: float | None) -> str:
    """Words for the time to the marked moisture [kg/kg].

    >>> time_to_dry_words(0.04)
    'time to 4 %'
    """
    return (
        "time to the marked moisture"
        if marked_moisture is None
        else f"time to {100.0 * marked_moisture:.6g} %"
    )


def end_reasons(outcomes: NDArray[np.void]) -> list[EndReason]:
    """Plain reason for the end of each of many cycles, the one a single run tells.

    Parameters
    ----------
    outcomes : structured ndarray of OUTCOME_ROW, shape (n,)
        What came out.
    """
    known = {code: EndReason.of(code) for code in np.unique(outcomes["end_code"]).tolist()}
    return [known[code] for code in outcomes["end_code"].tolist()]
