"""The rows of a sweep's table: records of fixed size while it grows, a pandas DataFrame in the end."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from dryermodel.cycle.reasons import EndReason
from dryermodel.studies.sweep.outcomes import DIGITS, OUTCOMES, TEXT_COLUMN, as_written
from dryermodel.studies.sweep.plan import RUN_COLUMN, Block, Sweep, run_blocks

if TYPE_CHECKING:
    import pandas as pd
    from numpy.typing import NDArray

END_WORDS = tuple(reason.value for reason in EndReason)
"""End reasons in the order of their codes, which begin at 1: a record of zero bytes is none."""

Progress = Callable[[int, int], None]
"""Told how many runs are done, and of how many."""


class Tally(NamedTuple):
    """What was met in a table's rows."""

    runs: int
    least: dict[str, float]  # by column; NaN where it never applied
    greatest: dict[str, float]
    end_reasons: dict[str, int]


def record_type(sweep: Sweep) -> np.dtype[np.void]:
    """Fields of a record: the table's columns in their order, the end reason as a code."""
    kinds = {RUN_COLUMN: "<i8", TEXT_COLUMN: "u1"}
    return np.dtype([(name, kinds.get(name, "<f8")) for name in sweep.columns])


def records_of(sweep: Sweep, block: Block) -> NDArray[np.void]:
    """Records of a block of runs, in the units of the table."""
    columns = [v.shown(block.points[:, i], sweep.si) for i, v in enumerate(sweep.varied)]
    columns += [o.shown(o.values(block.outcomes), sweep.si) for o in OUTCOMES]
    records = np.empty(len(block.outcomes), record_type(sweep))
    records[RUN_COLUMN] = np.arange(block.first, block.first + len(records))
    for name, values in zip(sweep.columns[1:-1], columns, strict=True):
        records[name] = as_written(values)
    codes = {reason: code for code, reason in enumerate(EndReason, start=1)}
    ends, which = np.unique(block.outcomes["end_code"], return_inverse=True)
    records[TEXT_COLUMN] = np.array([codes[EndReason.of(end)] for end in ends])[which]
    return records


def sweep_records(
    sweep: Sweep, start: int = 0, progress: Progress | None = None
) -> Iterator[NDArray[np.void]]:
    """Run a sweep from run number `start` on; its records block by block."""
    for block in run_blocks(sweep, start):
        yield records_of(sweep, block)
        if progress is not None:
            progress(block.first + len(block.outcomes), sweep.size)


def sweep_frame(sweep: Sweep, progress: Progress | None = None) -> pd.DataFrame:
    """Run a sweep into memory.

    Parameters
    ----------
    sweep : Sweep
        What to run.
    progress : callable, optional
        Told how many runs are done, and of how many.

    Returns
    -------
    DataFrame
        One row a run; the columns are ``sweep.columns``: numbers in the unit of their name, NaN
        where nothing applies, and the end reason as a category.
    """
    return frame_of(np.concatenate(list(sweep_records(sweep, progress=progress))))


def frame_of(records: NDArray[np.void]) -> pd.DataFrame:
    """Put records into a table with typed columns."""
    import pandas as pd

    frame = pd.DataFrame(records)
    codes = frame[TEXT_COLUMN].to_numpy().astype(np.int8) - 1
    frame[TEXT_COLUMN] = pd.Categorical.from_codes(codes, categories=list(END_WORDS))
    return frame


def csv_text(frame: pd.DataFrame, *, header: bool = True) -> str:
    """Rows of a table as the lines of a CSV file; a field is empty where nothing applies."""
    *numbers, words = (frame[name] for name in frame.columns)
    forms, columns = zip(*(_as_text(column.to_numpy()) for column in numbers), strict=True)
    quoted = [f'"{word}"' if "," in word else word for word in words.cat.categories]
    ends = [quoted[code] for code in words.cat.codes]
    line = ",".join([*forms, "%s\n"])
    first = ",".join(frame.columns) + "\n" if header else ""
    # One operation a row: pandas formats number by number and takes four times as long.
    return first + "".join(map(line.__mod__, zip(*columns, ends, strict=True)))


def _as_text(column: NDArray[Any]) -> tuple[str, list[Any]]:
    """How a column of numbers is written, and what is put there: text where some of it is empty."""
    values, form = column.tolist(), "%d" if column.dtype.kind == "i" else f"%.{DIGITS}g"
    if not np.isnan(column).any():
        return form, values
    return "%s", ["" if value != value else form % value for value in values]


def tally(frames: Iterable[pd.DataFrame]) -> Tally:
    """Count and compare the rows of a table that comes in parts, without keeping them."""
    runs, reasons = 0, Counter[str]()
    least: dict[str, float] = {}
    greatest: dict[str, float] = {}
    for frame in frames:
        runs += len(frame)
        reasons.update(frame[TEXT_COLUMN].astype(str))
        for name in frame.columns[:-1]:
            values = frame[name].to_numpy()
            least[name] = float(np.fmin(np.fmin.reduce(values), least.get(name, np.nan)))
            greatest[name] = float(np.fmax(np.fmax.reduce(values), greatest.get(name, np.nan)))
    return Tally(runs, least, greatest, dict(sorted(reasons.items())))
