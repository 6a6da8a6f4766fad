"""The one writer of files: a hidden neighbour first, moved into place when it is whole."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO

from dryermodel.errors import InputError


@contextmanager
def replacing(path: Path) -> Iterator[BinaryIO]:
    """Give an open file that takes the place of `path` when the block ends without an error.

    Parameters
    ----------
    path : Path
        File wanted; one that is there is replaced, whole or not at all. What a link points to is
        replaced, not the link.

    Yields
    ------
    BinaryIO
        Open for writing; forced to disk before it is moved.

    Raises
    ------
    InputError
        The directory is missing or may not be written to, the disk is full, or the name is that of
        a directory. What was written is removed, and the old file is as it was.
    """
    _require_place(path)
    target = path.resolve()
    beside = _beside(target)
    try:
        with beside.open("wb") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        beside.replace(target)
    except BaseException as problem:  # a stopped program leaves nothing behind either
        with suppress(OSError):
            beside.unlink(missing_ok=True)
        if isinstance(problem, OSError):
            raise _cannot(path, problem) from problem
        raise


def write_file(path: Path, content: bytes) -> None:
    """Put `content` into a file in one move; arguments and errors as in :func:`replacing`."""
    with replacing(path) as file:
        file.write(content)


def require_writable(path: Path) -> None:
    """Raise InputError unless a file of that name can be made, without making it."""
    try:
        _require_place(path)
        if path.exists() and not os.access(path, os.W_OK):
            raise InputError("cannot be written: it is read-only", path.as_posix())
        with suppress(FileNotFoundError):
            _beside(path).stat()  # the system says if the name is too long
        with tempfile.TemporaryFile(dir=path.parent):
            pass
    except OSError as problem:
        raise _cannot(path, problem) from problem


def _beside(target: Path) -> Path:
    return target.with_name(f".{target.name}.{os.getpid()}.tmp")


def _require_place(path: Path) -> None:
    """Raise InputError unless there is a directory to write to and the name is not that of one."""
    if path.is_dir():
        raise InputError("is a directory; a file name is wanted", path.as_posix())
    if not path.parent.is_dir():
        raise InputError(f"there is no directory '{path.parent.as_posix()}' to write to", path.as_posix())


def _cannot(path: Path, problem: OSError) -> InputError:
    return InputError(f"cannot be written: {problem.strerror or problem}", path.as_posix())
