"""One cycle to read: its summary, its findings and its switchings, ASCII and plain when piped."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING, NamedTuple

from dryermodel.findings.pieces import pieces_left
from dryermodel.findings.statements import CAUTIONS, judged
from dryermodel.findings.trust import ASSUMED, LEGEND, Status, statuses
from dryermodel.readings import quantities as Q
from dryermodel.readings.single import CycleReadings
from dryermodel.show.text.columns import short_hash
from dryermodel.show.text.console import put, width_of
from dryermodel.vocabulary import READINGS, SUMMARY, Reading, Readings, known

if TYPE_CHECKING:
    from rich.console import Console

    from dryermodel.cycle.result import CycleResult

MINUTE = 60.0

MOST_EVENTS = 200
"""Switchings printed unless more are asked for; a machine that short-cycles has thousands."""

OPEN = 1.0e-6
"""Gap of a balance from which on it is open, a mistake to be told without being asked [1]."""

FOR_PROGRAMS = ("first_cut_out", "heat_off_late", "ignition_tries", "combustion_air_ratio")
"""Readings of the summary that only programs are told; to people the findings tell them where they matter."""

NAMES = (
    *(name for name in SUMMARY if name not in FOR_PROGRAMS),
    "balance_water",
    "balance_energy",
    "rel_tolerance",
)
"""Readings in the summary, in its order."""


IN_WORDS = ("end_reason", "pieces")
"""Rows that hold words instead of a number."""


class Row(NamedTuple):
    """One line of the summary: what, value as text, unit."""

    label: str
    value: str
    unit: str


class EventRow(NamedTuple):
    """One switching: minutes from the start, what set it off, what it did."""

    time_min: str
    cause: str
    what: str


def _row(entry: Reading, value: float | None, electric: bool, si: bool) -> Row:
    label = entry.words.replace("burner", "heater") if electric and entry.name != "gas_input" else entry.words
    if entry.name == "final_moisture":
        label += ", dry basis"
    if value is None:
        return Row(label, "-", "")
    if entry.kind == "gap":
        return Row(label, f"{abs(value):.0e}", "")
    return Row(label, Q.number(value, entry.kind, si), Q.display(entry.kind, si).label)


def keyed_rows(result: CycleResult, si: bool) -> list[tuple[str, Row]]:
    """Rows of the summary, each with its name in the vocabulary; the first says what ended the cycle.

    Parameters
    ----------
    result : CycleResult
        The cycle.
    si : bool
        degC, kg, L/s and Pa instead of degF, lb, cfm and in w.c.

    Returns
    -------
    list of (str, Row)
        Name; label, value as text ("-" where there is none), unit.
    """
    taken, electric = CycleReadings(result), bool(result.parameters.heat_source)
    rows = [(name, _row(READINGS[name], taken[name], electric, si)) for name in NAMES]
    rows.insert(
        NAMES.index("final_moisture") + 1, ("pieces", Row("pieces at the end", pieces_left(result), ""))
    )
    return [("end_reason", Row("ended by", result.end.value, "")), *(r for r in rows if r[1].value)]


def events_table(result: CycleResult) -> list[EventRow]:
    """Every switching in order of time.

    Parameters
    ----------
    result : CycleResult
        The cycle.
    """
    return [EventRow(f"{e.time / MINUTE:.2f}", e.cause, e.text) for e in result.events]


def print_summary(
    result: CycleResult, si: bool = False, console: Console | None = None, *, details: bool = False
) -> None:
    """Print the summary as plain columns, a number that rests on more than assumptions with its label.

    Parameters
    ----------
    result : CycleResult
        The cycle.
    si : bool
        degC, kg, L/s and Pa instead of degF, lb, cfm and in w.c.
    console : rich.console.Console, optional
        Where to; standard output by default.
    details : bool
        With every label, how the balances close, the tolerance and the scenario's hash. A balance
        that does not close is told in any case.
    """
    put(console, summary_lines(result, si, details), heading=1)


def summary_lines(result: CycleResult, si: bool = False, details: bool = False) -> list[str]:
    """The summary's lines, the title first; arguments as in :func:`print_summary`."""
    status, taken = statuses(result), CycleReadings(result)
    rows = [(name, row) for name, row in keyed_rows(result, si) if details or _wanted(name, taken)]
    wide = max(len(row.label) for _, row in rows)
    high = max(len(row.value) for name, row in rows if name not in IN_WORDS)
    lines = [Q.printable(result.title) or "One cycle"]
    for name, row in rows:
        if name in IN_WORDS:
            lines.append(f"{row.label:<{wide}}  {row.value}")
            continue
        label = status[name].label if name in status and row.value != "-" else ""
        shown = label if details or label != ASSUMED else ""
        lines.append(f"{row.label:<{wide}}  {row.value:>{high}} {row.unit:<8} {shown}")
    lines += _legend(status, details)
    if details and result.scenario_hash:
        lines.append(f"  scenario hash {short_hash(result.scenario_hash)}")
    return lines


def _wanted(name: str, taken: Readings) -> bool:
    """Whether a row is for everybody: about the machine, or a balance that is open."""
    if name == "rel_tolerance":
        return False
    return not name.startswith("balance_") or abs(known(taken, name)) > OPEN


def _legend(status: dict[str, Status], details: bool) -> list[str]:
    """What the labels mean, that of most numbers once for all of them."""
    used = sorted({s.label for s in status.values()} - {ASSUMED})
    lines = [f"  {word}: {LEGEND[word]}" for word in used]
    rest = ASSUMED if details else f"no word: {ASSUMED},"
    return [*lines, f"  {rest}{':' if details else ''} {LEGEND[ASSUMED]}"]


def print_findings(
    result: CycleResult,
    si: bool = False,
    console: Console | None = None,
    *,
    rated_input: float | None = None,
) -> None:
    """Print the cautions that the findings call for, each once, and the findings, a dash before each.

    Parameters
    ----------
    result, si, console
        As in :func:`print_summary`.
    rated_input : float, optional
        As in :func:`~dryermodel.findings.statements.findings`.
    """
    width = width_of(console)
    found = judged(result, si=si, rated_input=rated_input)
    cautions = dict.fromkeys(key for item in found for key in item.cautions)
    if cautions:
        told = "Caution: " + " ".join(CAUTIONS[key] for key in cautions)
        put(console, ["", *textwrap.wrap(told, width)])
    lines = ["", "Findings"]
    for item in found:
        lines += textwrap.wrap(item.text, width, initial_indent="- ", subsequent_indent="  ")
    put(console, lines, heading=2)


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
    put(console, lines, heading=2)
