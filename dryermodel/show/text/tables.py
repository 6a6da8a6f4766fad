"""One cycle as numbers: a summary to read, one for programs, its switchings, and a CSV file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from dryermodel.errors import InputError
from dryermodel.files import write_file
from dryermodel.show.data.cycle import summary_json
from dryermodel.show.text.cycle import EventRow, Row, events_table, summary
from dryermodel.show.text.printing import print_events, print_findings, print_summary

if TYPE_CHECKING:
    from dryermodel.cycle.result import CycleResult

__all__ = [
    "EventRow",
    "Row",
    "events_table",
    "print_events",
    "print_findings",
    "print_summary",
    "summary",
    "summary_json",
    "write_csv",
]

CSV_DIGITS = 8
"""Significant digits of a number in a CSV file."""


def write_csv(result: CycleResult, path: str | Path, *, si: bool = False, step: float = 10.0) -> Path:
    """Write the cycle as a table of comma-separated values in UTF-8, with the units in its header.

    Parameters
    ----------
    result : CycleResult
        The cycle.
    path : str or Path
        File whose name ends in .csv; one that is there is replaced, whole or not at all.
    si : bool
        SI units (K, kg, m3/s, Pa, W, s) instead of degF, lb, cfm, in w.c., Btu/h and min.
    step : float
        Seconds between rows [s].

    Returns
    -------
    Path
        The file written.

    Raises
    ------
    InputError
        The name does not end in .csv, the file cannot be written, or `step` is out of range.
    """
    target = Path(path)
    if target.suffix.lower() != ".csv":
        raise InputError(f"a table's name ends in .csv, not '{target.suffix}'", str(path))
    frame = result.to_dataframe(step, si)
    # The same line ends on every system, so that the same cycle is the same bytes.
    text = frame.to_csv(index=False, lineterminator="\n", float_format=f"%.{CSV_DIGITS}g")
    write_file(target, text.encode("utf-8"))
    return target
