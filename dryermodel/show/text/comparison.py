"""A comparison as tables and sentences, and as data."""

from __future__ import annotations

import string
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from dryermodel.findings.trust import LEGEND
from dryermodel.readings import quantities as Q
from dryermodel.show.text.columns import WIDEST, right_aligned, wrap
from dryermodel.show.text.cycle import clean, summary_json
from dryermodel.show.text.faults import fault_amount
from dryermodel.studies.comparison.figures import (
    COUNT,
    MONEY,
    ROWS,
    Figures,
    Row,
    currency,
    figures,
    status_of,
)
from dryermodel.studies.comparison.notes import notes

if TYPE_CHECKING:
    from dryermodel.studies.comparison.cases import Case

ACROSS = 4
"""Cases side by side in one table; more go into further tables, each with the first case again."""

NOTHING, SAME = "-", "(same)"


class Comparison(NamedTuple):
    """Cases with their numbers."""

    cases: tuple[Case, ...]
    numbers: tuple[Figures, ...]

    def letter(self, rank: int) -> str:
        """The letter by which a case is called."""
        return string.ascii_uppercase[rank]


def comparison(cases: Sequence[Case]) -> Comparison:
    """Return the numbers of all cases.

    Parameters
    ----------
    cases : sequence of Case
        From :func:`dryermodel.studies.comparison.cases.run_cases`; the first is what the others are
        compared with.
    """
    return Comparison(tuple(cases), tuple(figures(case) for case in cases))


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
        From :func:`comparison`.
    si : bool
        degC, kg, L/s and Pa instead of degF, lb, cfm and in w.c.
    """
    others = list(range(1, len(found.cases)))
    parts = [[0, *others[i : i + ACROSS - 1]] for i in range(0, len(others), ACROSS - 1)]
    return [_table(found, ranks, si) for ranks in parts]


def _table(found: Comparison, ranks: list[int], si: bool) -> tuple[list[str], list[list[str]]]:
    headers = ["", "", *(f"{found.letter(rank)} " for rank in ranks), "rests on"]
    lines, block = [], ""
    for row in ROWS:
        if row.block != block:
            block = row.block
            lines.append([block, *[""] * (len(headers) - 1)])
        cells = [_cell(found, row, rank, si) for rank in ranks]
        lines.append([f"  {row.label}", unit(found, row, si), *cells, status_of(row, found.cases)])
    heads, padded = right_aligned(headers[:-1], [line[:-1] for line in lines], 2)
    return [*heads, headers[-1]], [[*cells, line[-1]] for cells, line in zip(padded, lines, strict=True)]


def unit(found: Comparison, row: Row, si: bool) -> str:
    """Unit in which a row is printed."""
    if row.kind == MONEY:
        return currency(found.cases) or "own"
    return "" if row.kind == COUNT else Q.display(row.kind, si).label


def _cell(found: Comparison, row: Row, rank: int, si: bool) -> str:
    value = found.numbers[rank].values[row.key]
    if value is None:
        return NOTHING
    text = _number(row, value, si)
    if row.key == "cycle_time" and not found.numbers[rank].ended:
        text = f">{text}"
    if rank == 0:
        return text
    return f"{text} {_difference(found, row, rank, si):>8}"


def _difference(found: Comparison, row: Row, rank: int, si: bool) -> str:
    """Difference to the first case, of the numbers as printed."""
    first, value = found.numbers[0].values[row.key], found.numbers[rank].values[row.key]
    if first is None or value is None or (row.kind == MONEY and currency(found.cases) is None):
        return ""
    one, other = _number(row, first, si), _number(row, value, si)
    if one == other:
        return SAME
    decimals = len(other.partition(".")[2])
    return f"({float(other) - float(one):+.{decimals}f})"


def _number(row: Row, value: float, si: bool) -> str:
    if row.kind == COUNT:
        return f"{value:.0f}"
    if row.kind == MONEY:
        return f"{value:.{row.decimals}f}"
    return Q.number(value, row.kind, si, row.decimals)


def note_lines(found: Comparison, si: bool = False) -> list[str]:
    """The sentences to read with the numbers, and what the labels mean, wrapped."""
    used = {status_of(row, found.cases) for row in ROWS}
    labels = [f"{word}: {LEGEND[word]}" for word in sorted(used)]
    paragraphs = [f"- {text}" for text in notes(found.cases, found.numbers, si)] + labels
    return [line for text in paragraphs for line in wrap(text, WIDEST, "", "  ")]


def as_data(found: Comparison, version: str, si: bool = False) -> dict[str, Any]:
    """The comparison for programs.

    Parameters
    ----------
    found : Comparison
        From :func:`comparison`.
    version : str
        Of the program.
    si : bool
        Of the sentences; figures are in SI whatever is asked for: s, kg/kg, J, kg, K, Pa, m3/s.
    """
    return {
        "version": version,
        "currency": currency(found.cases),
        "cases": [_case_data(found, rank, version) for rank in range(len(found.cases))],
        "rows": [
            {"key": row.key, "label": row.label, "block": row.block, "status": status_of(row, found.cases)}
            for row in ROWS
        ],
        "notes": notes(found.cases, found.numbers, si),
    }


def _case_data(found: Comparison, rank: int, version: str) -> dict[str, Any]:
    case, numbers, first = found.cases[rank], found.numbers[rank], found.numbers[0]
    values = {key: clean(value) for key, value in numbers.values.items()}
    differences = {
        key: None if value is None or first.values[key] is None else clean(value - (first.values[key] or 0.0))
        for key, value in numbers.values.items()
    }
    if currency(found.cases) is None:
        differences |= {row.key: None for row in ROWS if row.kind == MONEY}
    return {
        "letter": found.letter(rank),
        "name": case.name,
        "title": case.scenario.title,
        "scenario_hash": case.scenario.hash,
        "faults": dict(case.scenario.faults),
        "currency": case.tariff.currency,
        "loads_per_year": case.tariff.loads_per_year,
        "ended_by_itself": numbers.ended,
        "second_run_needed": numbers.wet,
        "figures_SI": values,
        "difference_to_first_SI": differences,
        "summary": summary_json(case.result, version),
    }
