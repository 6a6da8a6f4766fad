"""A new scenario file: every key as a comment, with its default, range and meaning."""

from __future__ import annotations

import json
import textwrap
from pathlib import Path

from dryermodel.errors import InputError
from dryermodel.scenario.defaults import Default, defaults
from dryermodel.scenario.faults import catalogue
from dryermodel.scenario.files import write_new
from dryermodel.scenario.pieces import PIECES
from dryermodel.scenario.schema import FAULTS, SECTIONS, allowed, keys

_HEAD = """\
# A scenario: one machine, vent, load and room, and what is set on the controls.
# Every key stands here as a comment with its default. Take the "#" away and change the value; what
# stays a comment keeps its default. Quantities are written in quotes with their unit; any usual
# unit of the right kind will do. Check the file with: dryermodel scenario check {name}

[scenario]
title = {title}
description = ""
# The name or path of a scenario to start from, in place of the defaults.
#extends = "standard"
"""


def template(path: Path) -> str:
    """Return the text of a new scenario file of that name."""
    head = _HEAD.format(name=path.name, title=toml_value(path.stem))
    return head + "".join(_section(section) for section in SECTIONS) + _faults()


def _section(section: str) -> str:
    entries = [_entry(key, defaults()[key]) for key in keys() if key.startswith(section + ".")]
    return f"\n[{section}]\n" + "".join(entries)


def _entry(key: str, entry: Default) -> str:
    limits = "" if key in ("controls.interruptions", PIECES) else f"; {allowed(key)}"
    meaning = f"{entry.about}{limits} ({entry.status})"
    comment = textwrap.fill(meaning, 100, initial_indent="# ", subsequent_indent="#   ")
    return f"{comment}\n#{key.partition('.')[2]} = {toml_value(entry.value)}\n"


def _faults() -> str:
    """Return the section of faults: each as a comment that says what its quantity runs from and to."""
    lines = [
        f"\n[{FAULTS}]\n",
        "# What is wrong: a severity from 0 (none) to 1, or the quantity in quotes with its unit.\n",
        "# What each does and how it shows: dryermodel faults --about KEY\n",
    ]
    for fault in catalogue().values():
        lines.append(f"# {fault.title}: {fault.quantity}, {fault.at_0} to {fault.at_1} (assumed)\n")
        lines.append(f"#{fault.key} = {toml_value(fault.at_0)}\n")
    return "".join(lines)


def toml_value(value: object) -> str:
    """Return a default as TOML writes it.

    >>> toml_value("20 ft"), toml_value(False), toml_value(2), toml_value([])
    ('"20 ft"', 'false', '2', '[]')
    """
    return json.dumps(value, ensure_ascii=False)


def new_scenario(path: str | Path) -> Path:
    """Write a commented scenario file.

    Parameters
    ----------
    path : str or Path
        File to make, ending in ``.toml``. An existing file is left as it is.

    Returns
    -------
    Path
        The file.

    Raises
    ------
    InputError
        The file exists, has another ending, or cannot be written.
    """
    target = Path(path)
    if target.suffix != ".toml":
        raise InputError("must end in .toml, e.g. mine.toml", target.as_posix())
    write_new(target, template(target))
    return target
