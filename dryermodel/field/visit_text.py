"""The text of a visit file: where each key stands, and changes that leave all other lines as they are."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from dryermodel.errors import shortened

_HEADER = re.compile(r"^\s*(?P<open>\[\[?)\s*(?P<name>[\w-]+|\"[^\"\n]*\"|'[^'\n]*')\s*\]\]?\s*(?:#.*)?$")
_KEY = re.compile(r"^\s*(?P<key>\"(?:[^\"\\\n]|\\.)*\"|'[^'\n]*'|[\w-]+)\s*=")
_TRIPLE = re.compile(r'"""|' + "'''")


class Spot(NamedTuple):
    """A place in a visit file: section (empty above all), number from 0 of those of that name, key."""

    section: str
    nth: int = 0
    key: str = ""

    def told(self, name: str = "") -> str:
        """Return how messages call it, with the name that an entry of a list has.

        >>> Spot("measurement", 1, "value").told("vent static"), Spot("seen", 0, "flame seen").told()
        ('measurement 2 (vent static), value', 'seen, flame seen')
        """
        many = self.section in ("measurement", "after", "work")
        section = f"{self.section} {self.nth + 1}" if many else self.section
        named = f" ({name})" if many and name else ""
        return ", ".join(part for part in (section + named, shortened(self.key)) if part)


def toml_text(value: str) -> str:
    r"""Return text as TOML writes it in quotes.

    >>> print(toml_text('3/4" hose\n'))
    "3/4\" hose\n"
    """
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")


def toml_value(value: str | int) -> str:
    """Return a text or a whole number as TOML writes it."""
    return toml_text(value) if isinstance(value, str) else str(value)


def toml_key(name: str) -> str:
    """Return a key as TOML writes it, in quotes only where it must be."""
    return name if re.fullmatch(r"[A-Za-z0-9_-]+", name) else toml_text(name)


def spots(text: str) -> list[tuple[Spot, int]]:
    r"""Return every header and key of a file with its line, counted from 1; a header has no key.

    >>> spots('complaint = "slow"\n[seen]\n"flame seen" = true')[2]
    (Spot(section='seen', nth=0, key='flame seen'), 3)
    """
    found: list[tuple[Spot, int]] = []
    counts: dict[str, int] = {}
    at, within = Spot(""), False
    for number, line in enumerate(text.split("\n"), start=1):
        inside, within = within, within ^ (len(_TRIPLE.findall(line)) % 2 == 1)
        header, key = (None, None) if inside else (_HEADER.match(line), _KEY.match(line))
        if header:
            name = _plainly(header["name"])
            counts[name] = counts.get(name, -1) + 1
            at = Spot(name, counts[name])
            found.append((at, number))
        elif key:
            found.append((at._replace(key=_plainly(key["key"])), number))
    return found


def _plainly(name: str) -> str:
    if name.startswith('"'):
        try:
            return str(json.loads(name))
        except ValueError:
            return name
    return name.strip("'")


def line_of(text: str, spot: Spot) -> int:
    """Return the line of a spot, counted from 1; that of its section if its key is not found, or 0."""
    lines = dict(reversed(spots(text)))  # the first of equal ones
    places = (spot, spot._replace(key=""), Spot("", 0, spot.section))
    return next((lines[place] for place in places if place in lines), 0)


def with_key(text: str, spot: Spot, value: str | None) -> str:
    """Return the text with one key set, or taken out for None; all other lines stay as they are.

    Parameters
    ----------
    text : str
        Of the whole file.
    spot : Spot
        Key that is set; its section is made at the end of the text if it is not there.
    value : str, optional
        As TOML writes it.
    """
    lines = text.split("\n")
    where = dict(reversed(spots(text)))
    entry = f"{toml_key(spot.key)} = {value}"
    if spot in where:
        at = where[spot]
        lines[at - 1 : at] = [] if value is None else [entry + _remark(lines[at - 1])]
    elif value is not None and not spot.section:
        lines.insert(_end_of_top(text), entry)
    elif value is not None and spot._replace(key="") in where:
        lines.insert(where[spot._replace(key="")], entry)
    elif value is not None:
        return with_block(text, f"[{spot.section}]\n{entry}\n")
    return "\n".join(lines)


def _remark(line: str) -> str:
    """Return the comment at the end of a line with a key, two spaces before it; empty if there is none."""
    for mark in re.finditer("#", line):
        try:
            tomllib.loads(line[: mark.start()])
        except tomllib.TOMLDecodeError:
            continue
        return f"  {line[mark.start() :]}"
    return ""


def _end_of_top(text: str) -> int:
    """Return after how many lines a key that belongs to no section is put."""
    found = spots(text)
    keys = [line for spot, line in found if not spot.section]
    headers = [line for spot, line in found if spot.section]
    lines = text.split("\n")
    if keys:
        return keys[-1] if _one_line(lines[keys[-1] - 1]) else (headers[0] - 1 if headers else len(lines))
    comments = next((i for i, line in enumerate(lines) if not line.startswith("#")), len(lines))
    return min(comments, headers[0] - 1) if headers else comments


def _one_line(line: str) -> bool:
    value = line.partition("=")[2].strip()
    return not _TRIPLE.match(value) and (not value.startswith("[") or "]" in value)


def with_block(text: str, block: str) -> str:
    r"""Return the text with a block of lines at its end, after an empty line.

    >>> with_block("a = 1", "[seen]\n")
    'a = 1\n\n[seen]\n'
    """
    head = text.rstrip("\n")
    return f"{head}\n\n{block}" if head else block


def without_block(text: str, spot: Spot) -> str:
    """Return the text without the header of a spot and all that stands under it up to its last key."""
    found = spots(text)
    own = [line for other, line in found if other._replace(key="") == spot._replace(key="")]
    if not own:
        return text
    lines = text.split("\n")
    del lines[own[0] - 1 : own[-1]]
    return re.sub(r"\n{3,}", "\n\n", "\n".join(lines))


def entry_block(section: str, values: Mapping[str, str | int]) -> str:
    """Return one table of a list as text.

    >>> print(entry_block("measurement", {"name": "vent static", "value": "0.9 in w.c."}), end="")
    [[measurement]]
    name = "vent static"
    value = "0.9 in w.c."
    """
    lines = [f"{toml_key(key)} = {toml_value(value)}" for key, value in values.items()]
    return "\n".join([f"[[{section}]]", *lines]) + "\n"


def list_text(values: Sequence[str]) -> str:
    """Return a list of texts as TOML writes it."""
    return f"[{', '.join(map(toml_text, values))}]"
