"""A comparison as tables and sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryermodel.findings.fault_words import fault_amount
from dryermodel.findings.trust import LEGEND
from dryermodel.readings import quantities as Q
from dryermodel.show.text.columns import WIDEST, right_aligned, wrap
from dryermodel.studies.comparison.figures import BLOCKS, NAMES
from dryermodel.studies.comparison.notes import notes
from dryermodel.vocabulary import READINGS, Reading

if TYPE_CHECKING:
    from dryermodel.studies.comparison.cases import Case
    from dryermodel.studies.comparison.figures import Comparison

ACROSS = 4
"""Cases side by side in one table; more go into further tables, each with the first case again."""

NOTHING, SAME = "-", "(same)"


def case_lines(found: Comparison, si: bool = False) -> list[str]:
    """Which letter stands for what, wrapped."""
    lines = []
    for rank, case in enumerate(found.cases):
        title = Q.printable(case.scenario.title)
        name = Q.printable(case.name)
        about = (
            f"{name}: {title}" if rank == 0 or case.scenario.title != found.cases[0].scenario.title else name
        )
        lines += wrap(f"{found.letter(rank)}  {about}{_faults(case, si)}", WIDEST, "", "   ")
    return lines


def _faults(case: Case, si: bool) -> str:
    from dryermodel.scenario.faults import find_fault

    present = [find_fault(key) for key in case.scenario.faults]
    told = [f"{f.title}: {f.quantity} {fault_amount(f, case.scenario.faults[f.key], si)}" for f in present]
    return f" [{'; '.join(told)}]" if told else ""


def tables(found: Comparison, si: bool = False) -> list[tuple[list[str], list[list[str]]]]:
    """Heads and cells of the tables, block after block of rows with the block's name before it.

    Parameters
    ----------
    found : Comparison
        From :func:`dryermodel.studies.comparison.figures.comparison`.
    si : bool
        degC, kg, L/s and Pa instead of degF, lb, cfm and in w.c.
    """
    others = list(range(1, len(found.cases)))
    parts = [[0, *others[i : i + ACROSS - 1]] for i in range(0, len(others), ACROSS - 1)]
    return [_table(found, ranks, si) for ranks in parts]


def _table(found: Comparison, ranks: list[int], si: bool) -> tuple[list[str], list[list[str]]]:
    headers = ["", "", *(f"{found.letter(rank)} " for rank in ranks), "rests on"]
    lines = []
    for block, names in BLOCKS.items():
        lines.append([block, *[""] * (len(headers) - 1)])
        for name in names:
            lines += _rows(found, name, ranks, si)
    heads, padded = right_aligned(headers[:-1], [line[:-1] for line in lines], 2)
    return [*heads, headers[-1]], [[*cells, line[-1]] for cells, line in zip(padded, lines, strict=True)]


def _rows(found: Comparison, name: str, ranks: list[int], si: bool) -> list[list[str]]:
    """The row of a reading; for the wettest pieces one of each kind of cloth in loads of unlike pieces."""
    label, status = unit(found, name, si), found.status_of(name)
    if name != "wettest_final_moisture":
        return [[f"  {READINGS[name].words}", label, *(_cell(found, name, r, si) for r in ranks), status]]
    return [
        [f"    {Q.printable(piece)}", label, *(_piece_cell(found, piece, r, si) for r in ranks), status]
        for piece in found.pieces
    ]


def _piece_cell(found: Comparison, piece: str, rank: int, si: bool) -> str:
    """Moisture of a kind of cloth at the end, with the difference to the first case's."""
    first, value = (found.numbers[r].pieces.get(piece) for r in (0, rank))
    if value is None:
        return NOTHING
    entry = READINGS["wettest_final_moisture"]
    text = _number(entry, value, si)
    one = None if first is None else _number(entry, first, si)
    return text if rank == 0 else f"{text} {_difference(one, text):>8}"


def unit(found: Comparison, name: str, si: bool) -> str:
    """Unit in which a reading is printed."""
    kind = READINGS[name].kind
    return (found.currency or "own") if kind == "money" else Q.display(kind, si).label


def _cell(found: Comparison, name: str, rank: int, si: bool) -> str:
    first, value = found.numbers[0].values[name], found.numbers[rank].values[name]
    if value is None:
        return NOTHING
    text = _number(READINGS[name], value, si)
    shown = f">{text}" if name == "cycle_time" and not found.numbers[rank].ended else text
    if rank == 0:
        return shown
    comparable = first is not None and found.difference(rank, name) is not None
    one = _number(READINGS[name], first or 0.0, si) if comparable else None
    return f"{shown} {_difference(one, text):>8}"


def _difference(one: str | None, other: str) -> str:
    """Difference of a number to the first case's, both as printed; nothing where there is none."""
    if one is None:
        return ""
    if one == other:
        return SAME
    decimals = len(other.partition(".")[2])
    return f"({float(other) - float(one):+.{decimals}f})"


def _number(entry: Reading, value: float, si: bool) -> str:
    return Q.number(value, entry.kind, si, entry.decimals)


def note_lines(found: Comparison, si: bool = False) -> list[str]:
    """The sentences to read with the numbers, and what the labels mean, wrapped."""
    used = {found.status_of(name) for name in NAMES}
    labels = [f"{word}: {LEGEND[word]}" for word in sorted(used)]
    paragraphs = [f"- {text}" for text in notes(found.cases, found.numbers, si)] + labels
    return [line for text in paragraphs for line in wrap(text, WIDEST, "", "  ")]
