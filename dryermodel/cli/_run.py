"""What the commands share: errors told in one line, and tables for people and for pipes."""

from __future__ import annotations

import functools
import sys
from collections.abc import Callable, Sequence
from io import TextIOWrapper
from typing import ParamSpec, TypeVar

import typer

from dryermodel.cli._endings import ENDINGS, end

P = ParamSpec("P")
R = TypeVar("R")


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
