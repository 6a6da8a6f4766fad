"""A logger's file as text: encoding, delimiter, decimal sign, header, and where the data begin."""

from __future__ import annotations

import codecs
import csv
import re
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from dryermodel.errors import InputError

HEAD = 400
"""Lines looked at to find out how a file is laid out."""

BLOCK = 1 << 22
"""Bytes read at once."""

DELIMITERS = {"tab": "\t", "semicolon": ";", "bar": "|", "comma": ",", "space": " "}
"""By name, those first that are seldom anything else."""

MISSING = ("", "nan", "na", "n/a", "null", "none", "-", "--", "---", "unavailable", "unknown", "ol", "err")
"""What loggers write where they have no number, in small letters."""

_NUMBER = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?")
_TIME = re.compile(r"\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}([ T].*)?|.*\d{1,2}:\d{2}.*")
_COMMA_NUMBER = re.compile(r"[-+]?\d*,\d+")
_MULTI_BYTE = re.compile(rb"[\xc2-\xf4][\x80-\xbf]")
_UTF_16 = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)


class Layout(NamedTuple):
    """How the text of a log is laid out."""

    encoding: str  # for reading the data
    delimiter: str
    decimal: str
    names: tuple[str, ...]  # of the columns, empty where the file has none
    first: int  # lines before the first line of data
    head: tuple[tuple[str, ...], ...]  # the first lines of data and some others, as cells
    notes: tuple[str, ...]


class _Bytes(NamedTuple):
    """What a walk through all bytes of a file found."""

    encoding: str
    lines: tuple[str, ...]  # the first ones and some others, each in the encoding it is in
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
    found = _walk(path)
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


def is_number(cell: str, decimal: str = ".") -> bool:
    """Whether a cell is a plain number.

    >>> is_number("1,5", ","), is_number("1e3"), is_number("12:30")
    (True, True, False)
    """
    return bool(_NUMBER.fullmatch(cell.replace(decimal, ".", 1) if decimal != "." else cell))


def is_time(cell: str) -> bool:
    """Whether a cell has the form of a date or of a time of day.

    >>> is_time("2026-01-31 12:00:05"), is_time("7:05 pm"), is_time("1.5")
    (True, True, False)
    """
    return bool(_TIME.fullmatch(cell))


def _walk(path: Path) -> _Bytes:
    """Go through all bytes once: is it text, and in which encoding."""
    where = path.as_posix()
    if not path.is_file():
        raise InputError("there is no such file", where)
    with path.open("rb") as file:
        head = file.read(BLOCK)
        if head[:2] in _UTF_16:
            lines = head.decode("utf-16", errors="ignore").splitlines()[:HEAD]
            return _Bytes("utf-16", tuple(lines), ("encoding: UTF-16",))
        _require_text(head[:65536], where)
        bad, mixed = _not_utf_8(head, file.read)
    whole = head.removeprefix(codecs.BOM_UTF8).splitlines()[: None if len(head) < BLOCK else -1]
    notes = [] if bad is None else [_encoding_note(bad, mixed)]
    # Digits and delimiters are the same bytes in all of these encodings, so the data need no other.
    return _Bytes("latin-1", tuple(map(_decoded, _some(whole))), tuple(notes))


def _some(lines: list[bytes]) -> list[bytes]:
    """The first lines, and others from further on: the machine may stand for long at first."""
    return lines[:HEAD] + lines[HEAD :: max(1, len(lines) // HEAD)]


def _require_text(head: bytes, where: str) -> None:
    odd = sum(head.count(bytes([code])) for code in range(32) if code not in (9, 10, 12, 13))
    if odd > 0.01 * len(head):
        raise InputError("is not text; a log is text with a line for each reading (CSV)", where)


def _not_utf_8(block: bytes, read: Callable[[int], bytes]) -> tuple[int | None, bool]:
    """Line of the first bytes that are not UTF-8, and whether others are."""
    decode = codecs.getincrementaldecoder("utf-8")()
    lines, mixed = 1, False
    while block:
        mixed = mixed or bool(_MULTI_BYTE.search(block))
        try:
            decode.decode(block)
        except UnicodeDecodeError as problem:
            return lines + block[: problem.start].count(b"\n"), mixed
        lines += block.count(b"\n")
        block = read(BLOCK)
    return None, mixed


def _encoding_note(line: int, mixed: bool) -> str:
    if mixed:
        return f"encoding: mixed, UTF-8 and (first in line {line}) Windows-1252; the numbers are not touched by it"
    return f"encoding: not UTF-8 (first in line {line}), read as Windows-1252"


def _decoded(line: bytes) -> str:
    try:
        return line.decode("utf-8")
    except UnicodeDecodeError:
        return line.decode("cp1252", errors="replace")


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
    steps = {b - a for a, b in zip(before, before[1:], strict=False)}
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
