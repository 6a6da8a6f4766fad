"""A logger's file as text: encoding, delimiter, decimal sign, header, and where the data begin."""

from __future__ import annotations

import csv
import itertools
import re
from collections import Counter
from pathlib import Path
from typing import NamedTuple

from dryermodel.errors import InputError
from dryermodel.field.traces.encoding import lines_of

DELIMITERS = {"tab": "\t", "semicolon": ";", "bar": "|", "comma": ",", "space": " "}
"""By name, those first that are seldom anything else."""

MISSING = ("", "nan", "na", "n/a", "null", "none", "-", "--", "---", "unavailable", "unknown", "ol", "err")
"""What loggers write where they have no number, in small letters."""

_NUMBER = re.compile(r"(?P<number>[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?)(\s*[A-Za-z\u00b0%]{1,4})?")
_TIME = re.compile(r"\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}([ T].*)?|.*\d{1,2}:\d{2}.*")
_COMMA_NUMBER = re.compile(r"[-+]?\d*,\d+")


class Layout(NamedTuple):
    """How the text of a log is laid out."""

    encoding: str  # for reading the data
    delimiter: str
    decimal: str
    names: tuple[str, ...]  # of the columns, empty where the file has none
    first: int  # lines before the first line of data
    head: tuple[tuple[str, ...], ...]  # the first lines of data and some others, as cells
    notes: tuple[str, ...]


def layout(path: Path, delimiter: str | None = None, decimal: str | None = None) -> Layout:
    """Find out how a log is laid out.

    Parameters
    ----------
    path : Path
        The file.
    delimiter : str, optional
        Between the columns, as a character or by its name; guessed without it.
    decimal : str, optional
        Point or comma; guessed without it.

    Raises
    ------
    InputError
        There is no such file, it is empty, holds a single line or is not text with numbers.
    """
    found = lines_of(path)
    where = path.as_posix()
    lines = [(i, line) for i, line in enumerate(found.lines) if line.strip()]
    if len(lines) < 2:
        amount = "a single line" if lines else "nothing"
        raise InputError(f"holds {amount}; a log needs a line for each reading", where)
    mark = _delimiter([line for _, line in lines], delimiter)
    cells = [(i, split(line, mark)) for i, line in lines]
    point = _decimal([row for _, row in cells], mark, decimal)
    first, width = _first_data(cells, point, where)
    names = _names(cells, first, width, point)
    head = tuple(tuple(row) for i, row in cells if i >= first)
    notes = (*found.notes, _laid_out(mark, point, names, first))
    return Layout(found.encoding, mark, point, names, first, head, notes)


def split(line: str, delimiter: str) -> list[str]:
    """Cells of a line without the blanks around them.

    >>> split('a;"b;c"; 1,5', ";")
    ['a', 'b;c', '1,5']
    """
    if delimiter == " ":
        return line.split()
    return [cell.strip() for cell in next(csv.reader([line], delimiter=delimiter), [])]


def number(cell: str, decimal: str = ".") -> float | None:
    """Number in a cell, with or without a unit after it; None if there is none.

    >>> number("1,5", ","), number("1e3"), number("234.5 W"), number("12:30")
    (1.5, 1000.0, 234.5, None)
    """
    found = _NUMBER.fullmatch(cell.replace(decimal, ".", 1) if decimal != "." else cell)
    return float(found["number"]) if found else None


def is_number(cell: str, decimal: str = ".") -> bool:
    """Whether a cell holds a number."""
    return number(cell, decimal) is not None


def is_time(cell: str) -> bool:
    """Whether a cell has the form of a date or of a time of day.

    >>> is_time("2026-01-31 12:00:05"), is_time("7:05 pm"), is_time("1.5")
    (True, True, False)
    """
    return bool(_TIME.fullmatch(cell))


def _delimiter(lines: list[str], given: str | None) -> str:
    """The delimiter given, or the first by which most lines have equally many cells."""
    if given is not None:
        mark = DELIMITERS.get(given.lower(), given.replace("\\t", "\t"))
        if len(mark) != 1:
            raise InputError(f"is '{given}'; it is one character, or {', '.join(DELIMITERS)}", "--delimiter")
        return mark
    for mark in DELIMITERS.values():
        if mark in (",", " ") and _only_decimals(lines, mark):
            continue
        counts = Counter(len(split(line, mark)) for line in lines)
        width, often = counts.most_common(1)[0]
        if width > 1 and often >= 0.6 * len(lines):
            return mark
    return ";" if _only_decimals(lines, ",") else ","


def _only_decimals(lines: list[str], mark: str) -> bool:
    """Whether the commas of a single column are its decimal signs: one each, and no count before it."""
    body = lines[1:]
    if mark != "," or not all(_COMMA_NUMBER.fullmatch(line.strip()) for line in body):
        return False
    before = [int(line.strip().split(",")[0] or 0) for line in body]
    steps = {b - a for a, b in itertools.pairwise(before)}
    return not (len(steps) == 1 and steps.pop() > 0)


def _decimal(rows: list[list[str]], delimiter: str, given: str | None) -> str:
    if given is not None:
        sign = {"point": ".", "comma": ","}.get(given.lower(), given)
        if sign not in (".", ","):
            raise InputError(f"is '{given}'; it is point or comma", "--decimal")
        return sign
    commas = sum(bool(_COMMA_NUMBER.fullmatch(cell)) for row in rows for cell in row)
    points = sum("." in cell and is_number(cell) for row in rows for cell in row)
    return "," if commas > points else "."


def _is_data(row: list[str], decimal: str) -> bool:
    """Whether at least half of a line's cells are numbers, times or marks of a missing number."""
    good = [is_number(c, decimal) or is_time(c) for c in row]
    empty = [c.lower() in MISSING for c in row]
    return any(good) and 2 * (sum(good) + sum(empty)) >= len(row)


def _first_data(cells: list[tuple[int, list[str]]], decimal: str, where: str) -> tuple[int, int]:
    """Line number of the first data, and how many cells a line of data has."""
    data = [(i, row) for i, row in cells if _is_data(row, decimal)]
    if len(data) < 2:
        amount = "a single line of numbers" if data else "no numbers"
        raise InputError(f"holds {amount}; a log needs a line for each reading", where)
    width = Counter(len(row) for _, row in data).most_common(1)[0][0]
    return next(i for i, row in data if len(row) == width), width


def _names(cells: list[tuple[int, list[str]]], first: int, width: int, decimal: str) -> tuple[str, ...]:
    """Names of the columns: the last line before the data that has as many cells and is none."""
    above = [row for i, row in cells if i < first and len(row) == width and not _is_data(row, decimal)]
    return tuple(above[-1]) if above else ()


def _laid_out(delimiter: str, decimal: str, names: tuple[str, ...], first: int) -> str:
    name = next((n for n, mark in DELIMITERS.items() if mark == delimiter), f"'{delimiter}'")
    sign = "comma" if decimal == "," else "point"
    top = "names of the columns" if names else "no names of columns"
    more = f", {first} lines before the data" if first > 1 else ""
    return f"layout: delimiter {name}, decimal {sign}, {top}{more}"
