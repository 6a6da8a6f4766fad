"""What is wrong with a file that is no TOML, in words that say how to mend it."""

from __future__ import annotations

import re
import tomllib

_PLACE = re.compile(r"at line (\d+), column \d+")
_ENTRY = re.compile(r"(?:^|[{,])\s*(?P<key>[\w\"'-]+)\s*=\s*(?P<value>[^\s\"'\[{#][^,}#]*)")
_INCH_MARK = re.compile(r"^\s*(?P<key>[\w-]+)\s*=\s*\"(?P<value>[^\"']*)\"\"\s*(?:#.*)?$")
_PLAIN = re.compile(r"true|false|[+-]?(?:\d[\d_]*\.?\d*(?:[eE][+-]?\d+)?|inf|nan)")


def explain(problem: tomllib.TOMLDecodeError, text: str) -> str:
    """Return the parser's message, and the line as it should be if a value lacks its quotes.

    Parameters
    ----------
    problem : TOMLDecodeError
        What the parser found.
    text : str
        The whole file.
    """
    place = _PLACE.search(str(problem))
    lines = text.splitlines()
    mended = _mended(lines[int(place[1]) - 1]) if place and int(place[1]) <= len(lines) else ""
    return f"is not valid TOML: {problem}" + (f"; {mended}" if mended else "")


def _mended(line: str) -> str:
    """Return how to write the first value of a line that lacks its quotes; nothing if none does.

    >>> _mended("length = 20 ft  # duct")
    'put the value in quotes: length = "20 ft"'
    """
    inches = _INCH_MARK.match(line)
    if inches:
        return f"put a value with an inch mark in single quotes: {inches['key']} = '{inches['value']}\"'"
    for entry in _ENTRY.finditer(line):
        value = entry["value"].strip()
        if value.lower() in ("true", "false"):
            return f"in small letters: {entry['key']} = {value.lower()}" if not value.islower() else ""
        if not _PLAIN.fullmatch(value):
            quote = "'" if '"' in value else '"'
            return f"put the value in quotes: {entry['key']} = {quote}{value}{quote}"
    return ""
