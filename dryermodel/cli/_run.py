"""What the commands share: errors told in one line, and text that any terminal takes."""

from __future__ import annotations

import functools
import os
import sys
from collections.abc import Callable
from io import TextIOWrapper
from typing import ParamSpec, TypeVar

import typer

from dryermodel.cli._endings import ENDINGS, end

P = ParamSpec("P")
R = TypeVar("R")

MATRIX_THREADS = ("OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS")
"""What the libraries under numpy read, once, when it is imported."""


def exit_on_input_error(command: Callable[P, R]) -> Callable[P, R]:
    """Make a command end in one line on stderr and an exit code, whatever ends it.

    That is bad input, what the system refuses (a name too long, a disk that is full), text that
    cannot be read or printed, Ctrl-C, and a reader of the output that went away; see `end`.
    """

    @functools.wraps(command)
    def run(*args: P.args, **kwargs: P.kwargs) -> R:
        try:
            return command(*args, **kwargs)
        except ENDINGS as problem:
            code = end(problem)
        raise typer.Exit(code)

    return run


def tolerate_any_text() -> None:
    """Let stdout and stderr print what their encoding lacks as an escape, in place of failing."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def leave_cores_to_the_engine() -> None:
    """Let numpy multiply its matrices on one core, unless the person has set it otherwise.

    Ours are some hundred numbers high and 37 wide: done in 0.1 ms on one core, and in up to 50 ms where
    threads wait for each other on a busy machine.
    """
    for name in MATRIX_THREADS:
        os.environ.setdefault(name, "1")
