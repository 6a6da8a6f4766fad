"""What every bench sum returns, and how it is printed."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

PUBLISHED, QUOTED = "published", "published, as quoted"
COMMON_PRACTICE, FROM_MEMORY = "common practice", "from memory"
ASSUMED, FITTED, COMPUTED, GIVEN = "assumed", "fitted", "computed", "given"
"""Status of a rule: read in the source, or as another source quotes it; of the trade, or to be
verified; our choice, chosen to meet published values, physics, or the person's own."""

GAS_WORK = "Gas work, leak test and combustion check by a qualified person where local rules say so."
LINT = "Lint is fuel: a vent that trips a limit is a fire risk and not a setting to adjust."
LOCAL_CODE = "Local code and the rating plate decide; this sum only advises."

MOST_DECIMALS = 5
"""Smaller numbers than these show are nothing a technician could measure."""

_LABELS = {"delta_degF": "degF", "delta_degC": "degC", "inH2O": "in w.c."}


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


def written(value: float, digits: int = 3) -> str:
    """Return a number with so many significant digits, whole digits never rounded away.

    >>> written(62068.97), written(0.60123), written(1769.9, 2), written(4.9e-9)
    ('62069', '0.601', '1770', '0')
    """
    if abs(value) < 0.5 * 10.0**-MOST_DECIMALS:
        return "0"
    decimals = max(0, digits - 1 - math.floor(math.log10(abs(value))))
    return f"{value:.{min(decimals, MOST_DECIMALS)}f}"


def label(unit: str) -> str:
    """Return a unit as it is printed."""
    return _LABELS.get(unit, unit)


def as_text(result: Sum, si: bool = False) -> str:
    """Return a sum as plain ASCII lines.

    Parameters
    ----------
    result : Sum
        From one of the sums.
    si : bool
        SI units instead of the trade's.
    """
    lines = [result.title]
    width = max(len(row.label) for row in result.rows)
    for row in result.rows:
        lines.append(f"  {row.label.ljust(width)}  {_text(row, si)}".rstrip())
    lines += [f"result: {verdict}" for verdict in result.verdicts]
    lines += [f"rule: {rule.text} [{rule.status}]" for rule in result.rules]
    lines += [f"caution: {caution}" for caution in result.cautions]
    return "\n".join(lines)


def _text(row: Row, si: bool) -> str:
    value, unit = shown(row, si)
    if isinstance(value, str):
        return value
    digits = f"{value:.2f}" if row.currency is not None else written(value, row.digits)
    return f"{digits} {label(unit)}"


def as_json(result: Sum, si: bool = False) -> dict[str, Any]:
    """Return a sum as plain data, numbers to nine significant digits."""
    return {
        "sum": result.name,
        "title": result.title,
        "rows": [_row_data(row, si) for row in result.rows],
        "results": list(result.verdicts),
        "rules": [rule._asdict() for rule in result.rules],
        "cautions": list(result.cautions),
    }


def _row_data(row: Row, si: bool) -> dict[str, Any]:
    value, unit = shown(row, si)
    number = value if isinstance(value, str) else float(f"{value:.9g}")
    return {"key": row.key, "label": row.label, "value": number, "unit": label(unit)}
