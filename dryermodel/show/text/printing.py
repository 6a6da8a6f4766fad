"""A cycle's tables and findings on a console: ASCII, and without any markup when piped."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

from dryermodel.findings.statements import findings
from dryermodel.findings.trust import LEGEND, statuses
from dryermodel.readings.quantities import printable
from dryermodel.show.text.cycle import events_table, keyed_rows

if TYPE_CHECKING:
    from rich.console import Console

    from dryermodel.cycle.result import CycleResult

MOST_EVENTS = 200
"""Switchings printed unless more are asked for; a machine that short-cycles has thousands."""

WIDEST = 100
"""Characters in a line of prose."""


def _put(console: Console | None, lines: list[str], heading: int = 0) -> None:
    """Print lines as they are, the first `heading` of them bold where the console can."""
    from rich.console import Console as RichConsole
    from rich.text import Text

    out = console or RichConsole()
    for rank, line in enumerate(lines):
        out.print(Text(line.rstrip(), style="bold" if rank < heading else ""), soft_wrap=True)


def _width(console: Console | None) -> int:
    from rich.console import Console as RichConsole

    return max(40, min(WIDEST, (console or RichConsole()).width))


def print_summary(result: CycleResult, si: bool = False, console: Console | None = None) -> None:
    """Print the summary as plain columns, each number with what it rests on.

    Parameters
    ----------
    result : CycleResult
        The cycle.
    si : bool
        degC, kg, L/s and Pa instead of degF, lb, cfm and in w.c.
    console : rich.console.Console, optional
        Where to; standard output by default.
    """
    known, rows = statuses(result), keyed_rows(result, si)
    wide = max(len(row.label) for _, row in rows)
    high = max(len(row.value) for key, row in rows if key != "end_reason")
    lines = [printable(result.title) or "One cycle"]
    for key, row in rows:
        if key == "end_reason":
            lines.append(f"{row.label:<{wide}}  {row.value}")
        else:
            label = known[key].label if key in known and row.value != "-" else ""
            lines.append(f"{row.label:<{wide}}  {row.value:>{high}} {row.unit:<8} {label}")
    lines += [f"  {word}: {LEGEND[word]}" for word in sorted({s.label for s in known.values()})]
    _put(console, lines, heading=1)


def print_findings(
    result: CycleResult,
    si: bool = False,
    console: Console | None = None,
    *,
    rated_input: float | None = None,
) -> None:
    """Print the findings, each as a paragraph with a dash before it.

    Parameters
    ----------
    result, si, console
        As in :func:`print_summary`.
    rated_input : float, optional
        As in :func:`~dryermodel.findings.statements.findings`.
    """
    width = _width(console)
    lines = ["", "Findings"]
    for text in findings(result, si=si, rated_input=rated_input):
        lines += textwrap.wrap(text, width, initial_indent="- ", subsequent_indent="  ")
    _put(console, lines, heading=2)


def print_events(result: CycleResult, console: Console | None = None, limit: int = MOST_EVENTS) -> None:
    """Print the switchings, the first `limit` of them, one a line.

    Parameters
    ----------
    result : CycleResult
        The cycle.
    console : rich.console.Console, optional
        Where to; standard output by default.
    limit : int
        How many at most; what is left out is counted.
    """
    rows = events_table(result)
    lines = ["", "Switchings"]
    lines += [f"{row.time_min:>8} min  {row.cause:<18}  {row.what}" for row in rows[:limit]]
    if len(rows) > limit:
        lines.append(f"and {len(rows) - limit} more")
    _put(console, lines, heading=2)
