"""A bench sum for programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from dryermodel.bench.rows import COMPUTED, shown
from dryermodel.kinds import label
from dryermodel.show.data.envelope import envelope
from dryermodel.show.data.numbers import clean

if TYPE_CHECKING:
    from dryermodel.bench.rows import Row, Sum


def as_json(result: Sum, version: str, si: bool = False) -> dict[str, Any]:
    """Return a sum as plain data, numbers to nine significant digits.

    Parameters
    ----------
    result : Sum
        The sum; what each of its rules rests on stands beside the rule.
    version : str
        Of the program.
    si : bool
        SI units in place of the trade's.
    """
    return {
        **envelope(version, title=result.title, status=COMPUTED),
        "sum": result.name,
        "rows": [_row_data(row, si) for row in result.rows],
        "results": list(result.verdicts),
        "rules": [rule._asdict() for rule in result.rules],
        "cautions": list(result.cautions),
    }


def _row_data(row: Row, si: bool) -> dict[str, Any]:
    value, unit = shown(row, si)
    number = value if isinstance(value, str) else clean(value)
    return {"key": row.key, "label": row.label, "value": number, "unit": label(unit)}
