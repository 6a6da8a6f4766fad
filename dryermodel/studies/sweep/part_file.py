"""The unfinished table of a sweep: kept on disk block by block, so that a killed sweep goes on.

The first line identifies the sweep; after it come records of fixed size. Each block is forced to
disk before the next. What a kill leaves half written is cut off, and only whole records in their
right order count.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Any, BinaryIO

import numpy as np

from dryermodel.errors import InputError
from dryermodel.studies.sweep.frame import END_WORDS
from dryermodel.studies.sweep.outcomes import TEXT_COLUMN
from dryermodel.studies.sweep.plan import RUN_COLUMN

if TYPE_CHECKING:
    from numpy.typing import NDArray

KIND = "dryermodel sweep, unfinished"
ENDING = ".part"
CHUNK = 50_000
"""Records that are read at a time: all that is in memory of a long sweep."""


def part_path(target: Path) -> Path:
    """Where the unfinished table of `target` is kept: beside it."""
    return target.with_name(target.name + ENDING)


class PartFile:
    """The unfinished table of one sweep, open for appending and locked against a second process.

    Parameters
    ----------
    path : Path
        The file; made if it is not there.
    identity : mapping
        What the table follows from, in plain values.
    record : numpy.dtype
        Fields of a record; the run's number and the code of its end reason, never 0, among them.

    Attributes
    ----------
    rows : int
        Whole records in the file.
    """

    def __init__(self, path: Path, identity: Mapping[str, Any], record: np.dtype[np.void]) -> None:
        self.path = path
        self.rows = 0
        self._record = record
        start = {"file": KIND, "record": record.itemsize, "end_words": END_WORDS, **identity}
        self._start = (json.dumps(start, sort_keys=True) + "\n").encode("ascii")
        self._file = _open(path)
        try:
            _lock(self._file, path)
            self._resume()
        except BaseException:
            self._file.close()
            raise

    def _resume(self) -> None:
        """Keep the whole records of the same sweep, and stand at their end."""
        first = self._file.readline()
        if first != self._start:
            self._require_torn_or_new(first)
            self._file.seek(0)
            self._file.truncate()
            self._write(self._start)
            return
        for records in self.chunks():
            right = records[RUN_COLUMN] == np.arange(self.rows, self.rows + len(records))
            wrong = np.flatnonzero(~(right & (records[TEXT_COLUMN] > 0)))
            self.rows += int(wrong[0]) if len(wrong) else len(records)
            if len(wrong):
                break
        self._file.seek(len(self._start) + self.rows * self._record.itemsize)
        self._file.truncate()

    def _require_torn_or_new(self, first: bytes) -> None:
        """Raise InputError unless the file is empty or holds only a piece of its own first line."""
        if not first.endswith(b"\n") and self._start.startswith(first):
            return
        what = _difference(first, self._start)
        raise InputError(
            f"{what}; finish that one with its own command, delete the file, or choose another name",
            self.path.as_posix(),
        )

    def append(self, records: NDArray[np.void]) -> None:
        """Add records and force them to disk."""
        self._write(records.tobytes())
        self.rows += len(records)

    def _write(self, content: bytes) -> None:
        try:
            self._file.write(content)
            self._file.flush()
            os.fsync(self._file.fileno())
        except OSError as problem:
            kept = "what is finished is kept, and the same command goes on from there"
            message = f"cannot be written: {problem.strerror or problem}; {kept}"
            raise InputError(message, self.path.as_posix()) from problem

    def chunks(self) -> Iterator[NDArray[np.void]]:
        """All whole records from the first, some at a time."""
        self._file.seek(len(self._start))
        size = self._record.itemsize
        while held := self._file.read(CHUNK * size):
            yield np.frombuffer(held, self._record, count=len(held) // size)

    def discard(self) -> None:
        """Close and delete the file."""
        self._file.close()
        self.path.unlink(missing_ok=True)

    def __enter__(self) -> PartFile:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, value: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._file.close()


def _open(path: Path) -> BinaryIO:
    """Open for reading and writing without emptying; make the file if it is not there."""
    try:
        path.touch()
        return path.open("r+b")
    except OSError as problem:
        message = f"cannot be written: {problem.strerror or problem}"
        raise InputError(message, path.as_posix()) from problem


def _lock(file: BinaryIO, path: Path) -> None:
    """Lock the open file; the system lets go of it when the process ends, however it ends."""
    try:
        if sys.platform == "win32":
            import msvcrt

            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as problem:
        raise InputError("another run is writing this sweep at the moment", path.as_posix()) from problem


def _difference(first: bytes, wanted: bytes) -> str:
    """Say how the file's first line differs from the one wanted."""
    try:
        found, ours = json.loads(first), json.loads(wanted)
    except ValueError:
        return "is there already and is not an unfinished sweep"
    if not isinstance(found, dict) or found.get("file") != KIND:
        return "is there already and is not an unfinished sweep"
    names = sorted(name for name in {*found, *ours} if found.get(name) != ours.get(name))
    return f"belongs to another sweep (other {', '.join(names)})"
