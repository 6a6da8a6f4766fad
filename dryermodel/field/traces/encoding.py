"""A logger's file as lines of text, in whatever encoding it is."""

from __future__ import annotations

import codecs
import re
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from dryermodel.errors import InputError

HEAD = 400
"""Lines looked at to find out how a file is laid out."""

LOGS, MOST_NAMED = (".csv", ".tsv", ".txt", ".log"), 5
"""Endings of files that may be logs, and how many of a folder are named."""

BLOCK = 1 << 22
"""Bytes read at once."""

_MULTI_BYTE = re.compile(rb"[\xc2-\xf4][\x80-\xbf]")
_UTF_16 = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)


class Lines(NamedTuple):
    """What a walk through all bytes of a file found."""

    encoding: str
    lines: tuple[str, ...]  # the first ones and some others, each in the encoding it is in
    notes: tuple[str, ...]


def lines_of(path: Path) -> Lines:
    """Go through all bytes once: is it text, and in which encoding."""
    where = path.as_posix()
    if path.is_dir():
        held = sorted(one.name for one in path.iterdir() if one.suffix.lower() in LOGS)
        such = f": {', '.join(held[:MOST_NAMED])}" if held else ""
        raise InputError(f"is a folder; name the log in it{such}", where)
    if not path.is_file():
        raise InputError("there is no such file", where)
    with path.open("rb") as file:
        head = file.read(BLOCK)
        if head[:2] in _UTF_16:
            lines = head.decode("utf-16", errors="ignore").splitlines()[:HEAD]
            return Lines("utf-16", tuple(lines), ("encoding: UTF-16",))
        _require_text(head[:65536], where)
        bad, mixed = _not_utf_8(head, file.read)
    whole = head.removeprefix(codecs.BOM_UTF8).splitlines()[: None if len(head) < BLOCK else -1]
    notes = [] if bad is None else [_encoding_note(bad, mixed)]
    # Digits and delimiters are the same bytes in all of these encodings, so the data need no other.
    return Lines("latin-1", tuple(map(_decoded, _some(whole))), tuple(notes))


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
        return f"encoding: mixed, UTF-8 and (first in line {line}) Windows-1252; numbers are the same in both"
    return f"encoding: not UTF-8 (first in line {line}), read as Windows-1252"


def _decoded(line: bytes) -> str:
    try:
        return line.decode("utf-8")
    except UnicodeDecodeError:
        return line.decode("cp1252", errors="replace")
