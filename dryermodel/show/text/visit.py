"""A visit to read: what was understood of it, and the sheet to fill in by hand."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from dryermodel.field.clocked import GAS_INPUT
from dryermodel.field.evidence import Measured, Seen, said
from dryermodel.field.measurements import ADVANCE, DIFFERENCES, Measurement
from dryermodel.field.round import Part, parts
from dryermodel.field.safety import DANGERS, RULES
from dryermodel.field.visit import Visit
from dryermodel.kinds import label
from dryermodel.show.text.columns import WIDEST, wrap
from dryermodel.show.text.complaint import understood

HEADERS = ["", "measured", "good to", "state"]


def heading(visit: Visit) -> list[str]:
    """Return what a visit is about: file, machine, complaint, dangers."""
    lines = [f"{visit.label}: {visit.scenario.title}"]
    lines += [f"complaint: {visit.complaint}"] if visit.complaint else []
    lines += wrap(understood(visit.complaint), WIDEST, "  ", "  ") if understood(visit.complaint) else []
    logs = [log.as_posix() for log in visit.logs]
    lines += [f"recordings: {', '.join(logs)}"] if logs else []
    return lines + [f"FIRST: {danger.advice}" for danger in visit.dangers]


def rows(measured: Sequence[Measured]) -> list[list[str]]:
    """Return a row for each measurement: name, value, accuracy, state."""
    return [_row(one) for one in measured]


def _row(one: Measured) -> list[str]:
    kind = one.measurement
    unit = f"delta_{kind.unit}" if kind.kind in DIFFERENCES else kind.unit
    state = next((s for s, number in kind.states.items() if number == one.number), "")
    return [one.name, said(one.value, kind.unit), f"+- {said(one.accuracy, unit, 2)}", state]


def answer_lines(seen: Sequence[Seen]) -> list[str]:
    """Return the answers in two lines: those with yes and those with no."""
    yes = [one.name for one in seen if one.yes]
    no = [one.name for one in seen if not one.yes]
    return [f"{word}: {', '.join(names)}" for word, names in (("yes", yes), ("no", no)) if names]


def work_lines(visit: Visit) -> list[str]:
    """Return a line for each thing that was done."""
    return [
        "done: " + ", ".join(part for part in (job.date, job.did, job.fault) if part) for job in visit.work
    ]


# The sheet ------------------------------------------------------------------------------------------

WIDTH, LINES = 77, 60
"""Characters and lines of a letter page: 10 and 6 to the inch, with margins of 0.4 and 0.5 inches."""

_GAP = "  "

STATES = {"running empty": "e", "steady drying": "d", "heat off": "o"}
"""States of which one is ringed, by the letter that stands for it."""

TAKE_CARE = (
    "Ring e if taken running empty, d drying, o heat off. Answer y or n before each word. Close test holes "
    "again. Clamp on an insulated single conductor only, if trained for it."
)


def sheet(title: str = "", electric: bool = False) -> list[str]:
    """Return one page to fill in by hand: all that can be measured and seen, in the order of safe work.

    Parameters
    ----------
    title : str
        Of the machine; a blank to fill in without one.
    electric : bool
        It heats with electricity: what only gas has is left out.
    """
    lines = [_fill("VISIT SHEET  machine ", title), _fill("complaint ", ""), _fill("load, controls ", "")]
    lines += textwrap.wrap("FIRST, each y/n: " + "   ".join(f"{d.name} ___" for d in DANGERS), WIDTH)
    lines += textwrap.wrap(" ".join([DANGERS[0].advice, *RULES]), WIDTH)
    lines += textwrap.wrap(TAKE_CARE, WIDTH)
    for part in parts(electric):
        lines += _part(part)
    return lines


def _fill(words: str, value: str) -> str:
    return f"{words}{value[: WIDTH - len(words)]}".ljust(WIDTH, " " if value else "_").rstrip(" ")


def _part(part: Part) -> list[str]:
    cells = [_cell(entry) for entry in part.measurements]
    lines = [f"-- {part.title} ".ljust(WIDTH, "-")]
    lines += list(_columns(cells, 2))
    return lines + list(_columns([f"__ {question.name}" for question in part.observations], 3))


def _cell(entry: Measurement) -> str:
    """Return a blank for one measurement, with its unit and the states it may be taken in."""
    blank = f"{entry.name} ______ {label(entry.unit)}".rstrip()
    if entry.name == ADVANCE:
        return f"{entry.name} ___ min, from ___ to ___"
    if entry.name == GAS_INPUT:
        return f"{entry.name}: dial ____ ft3 in ____ s"
    others = [
        letter for state, letter in STATES.items() if state in entry.states and entry.usual_state != state
    ]
    return f"{blank} ({'/'.join(others)})" if others else blank


def _columns(cells: Sequence[str], count: int) -> Iterator[str]:
    """Yield lines of so many columns; a cell that is too long takes two."""
    width = (WIDTH - len(_GAP) * (count - 1)) // count
    line = ""
    for cell in cells:
        start = 0 if not line else -(-len(line) // (width + len(_GAP))) * (width + len(_GAP))
        if line and start + len(cell) > WIDTH:
            yield line.rstrip()
            line, start = "", 0
        line = line.ljust(start) + cell + _GAP
    if line:
        yield line.rstrip()
