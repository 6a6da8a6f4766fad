"""The unfinished table of a sweep: kept on disk block by block, so that a killed sweep goes on.

The first line identifies the sweep; after it come the table's own lines. Each block is forced to
disk before the next. What a kill leaves half written is cut off, and only whole rows in their right
order count.
"""

from __future__ import annotations

import csv
import json
import os
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from types import TracebackType
from typing import Any, BinaryIO

from dryermodel.errors import InputError

KIND = "dryermodel sweep, unfinished"
ENDING = ".part"


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
    columns : int
        Fields in each row.

    Attributes
    ----------
    rows : int
        Whole rows in the file.
    """

    def __init__(self, path: Path, identity: Mapping[str, Any], columns: int) -> None:
        self.path = path
        self.rows = 0
        self._columns = columns
        self._start = (json.dumps({"file": KIND, **identity}, sort_keys=True) + "\n").encode("ascii")
        self._file = _open(path)
        try:
            _lock(self._file, path)
            self._resume()
        except BaseException:
            self._file.close()
            raise

    def _resume(self) -> None:
        """Keep the whole rows of the same sweep, and stand at their end."""
        first = self._file.readline()
        if first != self._start:
            self._require_torn_or_new(first)
            self._file.seek(0)
            self._file.truncate()
            self._write(self._start)
            return
        end = self._file.tell()
        for line in self._file:
            if not self._is_row(line):
                break
            self.rows += 1
            end += len(line)
        self._file.seek(end)
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

    def _is_row(self, line: bytes) -> bool:
        """Whether a line is the next row and whole."""
        if not line.endswith(b"\n") or not line.startswith(b"%d," % self.rows):
            return False
        try:
            return len(next(csv.reader([line.decode("ascii")]))) == self._columns
        except (UnicodeDecodeError, csv.Error):
            return False

    def append(self, lines: str) -> None:
        """Add whole rows and force them to disk."""
        self._write(lines.encode("ascii"))
        self.rows += lines.count("\n")

    def _write(self, content: bytes) -> None:
        try:
            self._file.write(content)
            self._file.flush()
            os.fsync(self._file.fileno())
        except OSError as problem:
            kept = "what is finished is kept, and the same command goes on from there"
            message = f"cannot be written: {problem.strerror or problem}; {kept}"
            raise InputError(message, self.path.as_posix()) from problem

    def lines(self) -> Iterator[str]:
        """All rows, from the first."""
        self._file.seek(len(self._start))
        for line in self._file:
            yield line.decode("ascii")

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
