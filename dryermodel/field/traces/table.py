"""A logger's file as arrays in SI, with a note on everything that was guessed, mended or left out."""

from __future__ import annotations

import warnings
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from dryermodel.errors import InputError
from dryermodel.field.traces.clock import Clock, Stamp, seconds_of, stamp
from dryermodel.field.traces.columns import Columns, Wanted, columns, to_si
from dryermodel.field.traces.rhythm import IDLE, rhythm, spread, without_doubles
from dryermodel.field.traces.text import MISSING, Layout, layout

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    Vector = NDArray[np.float64]

CHUNK = 100_000
"""Lines read at once."""

MOST = 5_000_000
"""Readings kept; of a log with more the rest is not read, which a note says."""

AROUND = 30
"""Readings of a standing machine that are kept before and after it runs."""

FEW = 2
"""Fewest readings that make a log."""


class Log(NamedTuple):
    """Readings in order of time."""

    time: Vector  # [s] since the first line
    values: dict[str, Vector]  # by kind, SI
    usual: float  # [s] between two readings, median
    steady: bool  # nearly all are that far apart; otherwise it reports when something changes
    begins: str  # first stamp as it is written; empty without stamps
    notes: tuple[str, ...]
    least: float = 0.0  # [W] change that a logger reports at once, where it does
    short: float = 0.0  # [s] a reading so soon after the one before is such a report


class Options(NamedTuple):
    """What a person said about a file; the rest is guessed."""

    wanted: Wanted = Wanted()
    delimiter: str | None = None
    decimal: str | None = None
    interval: float | None = None  # [s]


EVERYTHING_GUESSED = Options()


def read_log(path: Path, options: Options = EVERYTHING_GUESSED) -> Log:
    """Read a log.

    Parameters
    ----------
    path : Path
        Text with a line for each reading: any delimiter, decimal sign and encoding.
    options : Options
        What is known about it.

    Raises
    ------
    InputError
        The file is missing, empty or not text, or holds no readings that can be placed in time.
    """
    where = path.as_posix()
    how = layout(path, options.delimiter, options.decimal)
    where_is = columns(how, options.wanted, where)
    reader = _Reader(how, where_is, options, where)
    for table, line in _chunks(path, how, where_is):
        reader.take(table, line)
        if reader.full:
            break
    return reader.log()


def _chunks(path: Path, how: Layout, where_is: Columns) -> Iterator[tuple[Any, int]]:
    """Tables of so many lines each, and the number of the first line."""
    import pandas as pd

    used = sorted({*where_is.time, *(c.place for c in where_is.read)})
    line = how.first + 1
    with (
        warnings.catch_warnings(),
        path.open(encoding=how.encoding, errors="replace", newline="") as file,
    ):
        warnings.simplefilter("ignore")
        tables = pd.read_csv(
            file, sep=r"\s+" if how.delimiter == " " else how.delimiter, header=None, skiprows=how.first,
            names=list(range(len(how.head[0]))), usecols=used, chunksize=CHUNK, on_bad_lines="skip",
            dtype=str, keep_default_na=False, index_col=False, skipinitialspace=True,
        )  # fmt: skip
        for table in tables:
            yield table, line
            line += len(table)


class _Reader:
    """Takes tables one after another and keeps what matters of them."""

    def __init__(self, how: Layout, where_is: Columns, options: Options, where: str) -> None:
        self.how, self.where_is, self.where = how, where_is, where
        self.interval = options.interval
        self.stamp = self._stamp(options)
        self.clock = Clock(self.stamp or Stamp("number", 1.0, True, ()))
        self.times: list[Vector] = []
        self.values: dict[str, list[NDArray[np.float32]]] = {c.kind: [] for c in where_is.read}
        self.kept = self.lines = self.untimed = self.idle = 0
        self.empty = dict.fromkeys(self.values, 0)
        self.first_bad = 0
        self.begins = ""

    @property
    def full(self) -> bool:
        """Whether as much is kept as will be."""
        return self.kept >= MOST

    def _stamp(self, options: Options) -> Stamp | None:
        if not self.where_is.time or options.interval is not None:
            if options.interval is None:
                raise InputError(
                    "holds no times; say how far apart its lines are, e.g. --interval '1 s'", self.where
                )
            return None
        cells = [" ".join(row[i] for i in self.where_is.time if i < len(row)) for row in self.how.head]
        cells = [cell for cell in cells if cell.strip().lower() not in MISSING]
        return stamp(cells, self.where_is.time_unit, self.how.decimal, self.where)

    def take(self, table: Any, line: int) -> None:
        """Take the next table."""
        raw = self._raw_times(table)
        values = {c.kind: self._numbers(table[c.place], c) for c in self.where_is.read}
        timed = np.isfinite(raw)
        self._count(timed, values, line)
        # A line without any number is not let near the clock: its time may be cut off as well.
        timed &= np.any([np.isfinite(v) for v in values.values()], axis=0)
        time = self.clock.forward(raw[timed], line)
        kept = {kind: v[timed] for kind, v in values.items()}
        some = self._near_running(kept)
        self.times.append(time[some])
        for kind, v in kept.items():
            self.values[kind].append(v[some].astype(np.float32))
        self.kept += int(some.sum())

    def _raw_times(self, table: Any) -> Vector:
        if self.stamp is None:
            assert self.interval is not None
            return np.arange(self.lines, self.lines + len(table), dtype=np.float64) * self.interval
        cells = table[self.where_is.time[0]]
        if len(self.where_is.time) > 1:
            cells = cells + " " + table[self.where_is.time[1]]
        self.begins = self.begins or str(cells.iloc[0])
        return seconds_of(_pointed(cells, self.how.decimal, self.stamp), self.stamp)

    def _numbers(self, cells: Any, column: Any) -> Vector:
        """Numbers of a column in SI; a unit written after a number is no hindrance."""
        import pandas as pd

        text = (
            cells.str.replace(self.how.decimal, ".", n=1, regex=False) if self.how.decimal != "." else cells
        )
        found = np.array(pd.to_numeric(text, errors="coerce"), dtype=np.float64)
        odd = np.flatnonzero(~np.isfinite(found))
        if len(odd):
            first = text.iloc[odd].str.extract(r"^\s*([-+]?\d[\d.]*)\s*[A-Za-z%\u00b0]*\s*$", expand=False)
            found[odd] = pd.to_numeric(first, errors="coerce")
        scale, offset = to_si(column)
        found[~np.isfinite(found)] = np.nan
        return np.asarray(found * scale + offset)

    def _count(self, timed: NDArray[np.bool_], values: dict[str, Vector], line: int) -> None:
        self.lines += len(timed)
        self.untimed += int((~timed).sum())
        for kind, v in values.items():
            self.empty[kind] += int((~np.isfinite(v) & timed).sum())
        bad = np.flatnonzero(~timed | np.all([~np.isfinite(v) for v in values.values()], axis=0))
        if len(bad) and not self.first_bad:
            self.first_bad = line + int(bad[0])

    def _near_running(self, values: dict[str, Vector]) -> NDArray[np.bool_]:
        """Readings of a machine that runs, with some around them; all where that is not known."""
        kind = next((k for k in IDLE if k in values), None)
        if kind is None or len(values[kind]) == 0:
            return np.ones(len(next(iter(values.values()))), dtype=np.bool_)
        runs = values[kind] >= IDLE[kind]
        near = (
            np.convolve(runs, np.ones(2 * AROUND + 1), mode="same")[: len(runs)] > 0.0
            if len(runs) > 2 * AROUND
            else runs
        )
        near = near.copy()
        near[:AROUND] = near[-AROUND:] = True
        self.idle += int((~near).sum())
        return np.asarray(near)

    def log(self) -> Log:
        """Everything that was taken, in order of time."""
        time = np.concatenate(self.times) if self.times else np.zeros(0)
        if len(time) < FEW:
            raise InputError("holds fewer than two readings that can be placed in time", self.where)
        values = {kind: np.concatenate(v) for kind, v in self.values.items()}
        self.times, self.values = [], {}
        notes = [*self.how.notes, *self.where_is.notes, *(self.stamp.notes if self.stamp else ())]
        notes += [*self._left_out(), *self.clock.told()]
        order = np.argsort(time, kind="stable") if np.any(np.diff(time) < 0.0) else slice(None)
        time, values = time[order], {kind: v[order] for kind, v in values.items()}
        time = spread(time, notes)
        time, values = without_doubles(time, values, notes)
        wide = {kind: v.astype(np.float64) for kind, v in values.items()}
        found = rhythm(time, wide)
        notes.append(found.note)
        return Log(
            time - time[0],
            wide,
            found.usual,
            found.steady,
            self.begins,
            tuple(notes),
            found.least,
            found.short,
        )

    def _left_out(self) -> list[str]:
        notes = [f"{self.lines} lines of data"]
        if self.full:
            notes.append(f"only the first {self.lines} lines were read, which is as much as is kept")
        if self.untimed:
            notes.append(f"{self.untimed} lines without a time that can be read are left out")
        for kind, count in self.empty.items():
            if count:
                notes.append(f"{count} lines have no {kind}")
        if self.first_bad:
            notes.append(f"the first line that could not be read is line {self.first_bad}")
        if self.idle:
            notes.append(f"{self.idle} readings of the machine standing still are not looked at")
        return notes


def _pointed(cells: Any, decimal: str, how: Stamp) -> Any:
    return (
        cells.str.replace(decimal, ".", n=1, regex=False)
        if how.form == "number" and decimal != "."
        else cells
    )
