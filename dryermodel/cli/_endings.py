"""How a command ends: exit codes, and the one line that says why.

The codes are those a shell user knows: 130 and 141 are what the interrupt and a closed pipe give any
program of the system.
"""

from __future__ import annotations

import contextlib
import errno
import os
import sys

import typer

from dryermodel.errors import InputError

NOT_COMPLETED = 1
"""Exit code when the run could not be completed as asked, such as for a full disk."""

BAD_INPUT = 2
"""Exit code for bad input."""

STOPPED = 130
"""Exit code after Ctrl-C."""

READER_GONE = 141
"""Exit code when whatever read the output, such as ``head``, had enough of it."""

_NO_ROOM = {
    getattr(errno, name)
    for name in ("ENOSPC", "EDQUOT", "EFBIG", "EIO", "EROFS", "ENOMEM")
    if hasattr(errno, name)
}
ENDINGS = (InputError, OSError, UnicodeError, RecursionError, KeyboardInterrupt)
"""What may end a command without being a mistake of the program."""


def end(problem: BaseException) -> int:
    """Tell in one line on stderr what ended a command, and return its exit code.

    Parameters
    ----------
    problem : BaseException
        What ended it. A reader that went away is not worth a line.

    Returns
    -------
    int
        Exit code.
    """
    if isinstance(problem, OSError) and problem.filename is None:
        _let_go_of_output()
    if _reader_is_gone(problem):
        return READER_GONE
    if isinstance(problem, KeyboardInterrupt):
        _tell(": ".join(part for part in ("stopped", str(problem)) if part))
        return STOPPED
    _tell(f"error: {_reason(problem)}")
    cause = problem.__cause__ if isinstance(problem, InputError) else problem
    return NOT_COMPLETED if isinstance(cause, OSError) and cause.errno in _NO_ROOM else BAD_INPUT


def _reason(problem: BaseException) -> str:
    if isinstance(problem, OSError):
        where = "the output cannot be written" if problem.errno in _NO_ROOM else ""
        return ": ".join(
            str(part) for part in (problem.filename or where, problem.strerror or problem) if part
        )
    if isinstance(problem, UnicodeError):
        return f"text that cannot be read or printed here: {problem}"
    return "the input is nested too deep" if isinstance(problem, RecursionError) else str(problem)


def _reader_is_gone(problem: BaseException) -> bool:
    if isinstance(problem, BrokenPipeError):
        return True
    # Windows calls a closed pipe an invalid argument.
    windows = os.name == "nt" and isinstance(problem, OSError)
    return windows and problem.filename is None and problem.errno == errno.EINVAL  # type: ignore[attr-defined]


def _let_go_of_output() -> None:
    """Let what is still to be written go nowhere, so that Python does not fail over it at its end."""
    with contextlib.suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _tell(line: str) -> None:
    """Print one line on stderr, characters as they were typed.

    What has no shape, such as a control character, comes as its escape; so does, by
    `tolerate_any_text`, what the console's encoding lacks.
    """
    shown = (c if c.isprintable() else c.encode("unicode_escape").decode("ascii") for c in line)
    with contextlib.suppress(OSError):  # nobody is there to be told
        typer.echo("".join(shown), err=True)
