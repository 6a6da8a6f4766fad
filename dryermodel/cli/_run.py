"""What the commands share: errors told in one line, and tables for people and for pipes."""

from __future__ import annotations

import functools
import sys
from collections.abc import Callable, Sequence
from io import TextIOWrapper
from typing import ParamSpec, TypeVar

import typer

from dryermodel.errors import InputError

P = ParamSpec("P")
R = TypeVar("R")

BAD_INPUT = 2
"""Exit code for bad input."""


def exit_on_input_error(command: Callable[P, R]) -> Callable[P, R]:
    """Make a command tell an `InputError` in one line on stderr and exit with code 2.

    What the system refuses (a name too long, a disk that is full), and text that cannot be read or
    printed, is told likewise.
    """

    @functools.wraps(command)
    def run(*args: P.args, **kwargs: P.kwargs) -> R:
        try:
            return command(*args, **kwargs)
        except InputError as problem:
            _tell(str(problem))
        except BrokenPipeError:
            raise  # the reader of the output went away; typer ends quietly
        except OSError as problem:
            _tell(": ".join(str(part) for part in (problem.filename, problem.strerror or problem) if part))
        except UnicodeError as problem:
            _tell(f"text that cannot be read or printed here: {problem}")
        except RecursionError:
            _tell("the input is nested too deep")
        raise typer.Exit(BAD_INPUT)

    return run


def _tell(problem: str) -> None:
    """Print an error in one line on stderr, characters as they were typed.

    What has no shape, such as a control character, comes as its escape; so does, by
    `tolerate_any_text`, what the console's encoding lacks.
    """
    shown = (c if c.isprintable() else c.encode("unicode_escape").decode("ascii") for c in problem)
    typer.echo("error: " + "".join(shown), err=True)


def tolerate_any_text() -> None:
    """Let stdout and stderr print what their encoding lacks as an escape, in place of failing."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def print_table(headers: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """Print a table: by rich on a terminal, as plain aligned columns of full width when piped."""
    if sys.stdout.isatty():
        _print_rich(headers, rows)
    else:
        typer.echo(plain_table(headers, rows))


def plain_table(headers: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Return aligned columns two spaces apart, without trailing spaces.

    >>> print(plain_table(["key", "value"], [["vent.length", "20 ft"]]))
    key          value
    -----------  -----
    vent.length  20 ft
    """
    lines = [list(headers), *map(list, rows)]
    widths = [max(len(line[i]) for line in lines) for i in range(len(headers))]
    lines.insert(1, ["-" * width for width in widths])
    return "\n".join("  ".join(map(str.ljust, line, widths)).rstrip() for line in lines)


def _print_rich(headers: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    from rich import box
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    table = Table(*headers, box=box.ASCII2, header_style="bold")
    for row in rows:
        table.add_row(*map(Text, row))
    Console().print(table)
