"""What the commands share: errors told in one line, and tables for people and for pipes."""

from __future__ import annotations

import functools
import sys
from collections.abc import Callable, Sequence
from typing import ParamSpec, TypeVar

import typer

from dryermodel.errors import InputError

P = ParamSpec("P")
R = TypeVar("R")

BAD_INPUT = 2
"""Exit code for bad input."""


def exit_on_input_error(command: Callable[P, R]) -> Callable[P, R]:
    """Make a command tell an `InputError` in one line on stderr and exit with code 2."""

    @functools.wraps(command)
    def run(*args: P.args, **kwargs: P.kwargs) -> R:
        try:
            return command(*args, **kwargs)
        except InputError as problem:
            typer.echo(f"error: {problem}".encode("ascii", "backslashreplace").decode("ascii"), err=True)
            raise typer.Exit(BAD_INPUT) from None

    return run


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
