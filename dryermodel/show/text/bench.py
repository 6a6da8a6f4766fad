"""A bench sum as lines to read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryermodel.bench.rows import shown
from dryermodel.kinds import label
from dryermodel.readings.quantities import written

if TYPE_CHECKING:
    from dryermodel.bench.rows import Row, Sum


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
