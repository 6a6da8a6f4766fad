"""What every bench sum returns."""

from __future__ import annotations

from typing import NamedTuple

PUBLISHED, QUOTED = "published", "published, as quoted"
COMMON_PRACTICE, FROM_MEMORY = "common practice", "from memory"
ASSUMED, FITTED, COMPUTED, GIVEN = "assumed", "fitted", "computed", "given"
"""Status of a rule: read in the source, or as another source quotes it; of the trade, or to be
verified; our choice, chosen to meet published values, physics, or the person's own."""

GAS_WORK = "Gas work, leak test and combustion check by a qualified person where local rules say so."
LINT = "Lint is fuel: a vent that trips a limit is a fire risk and not a setting to adjust."
LOCAL_CODE = "Local code and the rating plate decide; this sum only advises."


class Row(NamedTuple):
    """One line of a sum: a quantity in SI with the units it is shown in, money, or words."""

    key: str
    label: str
    value: float | str
    unit: str = ""
    si_unit: str = ""
    digits: int = 3
    currency: str | None = None  # of money; then there is nothing to convert


class Basis(NamedTuple):
    """The rule or table a sum stands on, and how well that is known."""

    text: str
    status: str


class Sum(NamedTuple):
    """A bench sum: rows, what they mean, what they stand on, what to beware of."""

    name: str
    title: str
    rows: tuple[Row, ...]
    verdicts: tuple[str, ...]
    rules: tuple[Basis, ...]
    cautions: tuple[str, ...] = ()

    def value(self, key: str) -> float | str:
        """Return the SI value of a row by its key."""
        return next(row.value for row in self.rows if row.key == key)


def shown(row: Row, si: bool) -> tuple[float | str, str]:
    """Return a row's value and unit as it is shown."""
    if isinstance(row.value, str) or row.currency is not None:
        return row.value, row.currency or ""
    from dryermodel import units

    unit = row.si_unit if si else row.unit
    return units.convert(row.value, unit), unit
