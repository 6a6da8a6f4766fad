"""The rows of a sweep's table, put into memory or summed up line by line."""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Iterable
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from dryermodel.studies.sweep.outcomes import TEXT_COLUMN

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from dryermodel.studies.sweep.plan import Sweep


class SweepTable(NamedTuple):
    """The table in memory."""

    columns: tuple[str, ...]
    numbers: dict[str, NDArray[np.float64]]  # every column but the last; NaN where nothing applies
    end_reason: list[str]


class Tally(NamedTuple):
    """What was met while the table was written."""

    runs: int
    least: dict[str, float]
    greatest: dict[str, float]
    end_reasons: dict[str, int]


def table(sweep: Sweep, lines: Iterable[str]) -> SweepTable:
    """Put lines of the table into memory."""
    rows = [row for text in lines for row in csv.reader(text.splitlines())]
    names = sweep.columns
    numbers = {
        name: np.array([float(row[i]) if row[i] else np.nan for row in rows])
        for i, name in enumerate(names[:-1])
    }
    return SweepTable(names, numbers, [row[-1] for row in rows])


def read_table(sweep: Sweep, path: Path) -> SweepTable:
    """Read a finished table back."""
    if path.suffix.lower() == ".csv":
        with path.open(encoding="ascii", newline="") as file:
            next(file)
            return table(sweep, file)
    pq: Any = import_module("pyarrow.parquet")
    read = pq.read_table(path)
    numbers = {
        name: np.asarray(read[name].to_numpy(zero_copy_only=False), dtype=np.float64)
        for name in sweep.columns[:-1]
    }
    return SweepTable(sweep.columns, numbers, read[TEXT_COLUMN].to_pylist())


def tally(sweep: Sweep, lines: Iterable[str]) -> Tally:
    """Count and compare the lines of a table without keeping them."""
    names = sweep.columns[:-1]
    least = {name: float("nan") for name in names}
    greatest = dict(least)
    reasons: Counter[str] = Counter()
    for row in csv.reader(lines):
        reasons[row[-1]] += 1
        for name, text in zip(names, row, strict=False):
            if text:
                value = float(text)
                least[name] = value if not value >= least[name] else least[name]
                greatest[name] = value if not value <= greatest[name] else greatest[name]
    return Tally(reasons.total(), least, greatest, dict(sorted(reasons.items())))
