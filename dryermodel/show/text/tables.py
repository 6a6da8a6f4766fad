"""Tables for people and for pipes."""

from __future__ import annotations

import sys
from collections.abc import Sequence


def print_table(headers: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """Print a table: by rich on a terminal, as plain aligned columns of full width when piped."""
    if sys.stdout.isatty():
        _print_rich(headers, rows)
    else:
        print(plain_table(headers, rows))


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
