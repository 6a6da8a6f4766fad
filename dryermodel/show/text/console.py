"""Lines on a console: plain when piped, the heading bold where the console can."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.console import Console

WIDEST = 100
"""Characters in a line of prose."""


def put(console: Console | None, lines: list[str], heading: int = 0) -> None:
    """Print lines as they are, the first `heading` of them bold where the console can.

    Parameters
    ----------
    console : Console or None
        Where to; standard output by default.
    lines : list of str
        Without line ends.
    heading : int
        How many are bold.
    """
    from rich.console import Console as RichConsole
    from rich.text import Text

    out = console or RichConsole()
    for rank, line in enumerate(lines):
        out.print(Text(line.rstrip(), style="bold" if rank < heading else ""), soft_wrap=True)


def width_of(console: Console | None) -> int:
    """Characters in a line of prose on this console, or on standard output."""
    from rich.console import Console as RichConsole

    return max(40, min(WIDEST, (console or RichConsole()).width))
