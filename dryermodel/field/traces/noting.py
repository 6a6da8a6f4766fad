"""Measurements from a log put into a visit file; all other lines of it stay as they are."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from dryermodel.errors import InputError
from dryermodel.field.traces.outcome import Found, entry
from dryermodel.field.visit import visit_of
from dryermodel.field.visit_text import Spot, entry_block, list_text, with_block, with_key
from dryermodel.files import write_file


class Noted(NamedTuple):
    """What became of the measurements."""

    added: tuple[str, ...]
    there: tuple[str, ...]  # measured already, and left as they are
    refused: tuple[str, ...]  # not possible on this machine, with why
    problems: tuple[str, ...]  # what does not go together in the visit now


def note(visit: Path, log: Path, found: tuple[Found, ...]) -> Noted:
    """Add measurements to a visit file, and the log to its list of logs.

    Parameters
    ----------
    visit : Path
        The visit file.
    log : Path
        The log they come from.
    found : tuple of Found
        What the log gave.

    Raises
    ------
    InputError
        The visit cannot be read or written; then it is as it was.
    """
    if not visit.is_file():
        raise InputError("no such visit file; 'dryermodel visit new FILE' makes one", visit.as_posix())
    text = visit.read_text(encoding="utf-8")
    before = visit_of(text, visit)
    known = {m.item.name for m in before.measured if m.spot.section == "measurement"}
    text = _with_log(text, visit, log, before.file.logs)
    added, refused = [], []
    for one in found:
        if one.name in known:
            continue
        longer = with_block(text, entry_block("measurement", {**entry(one), "note": f"from {log.name}"}))
        try:
            visit_of(longer, visit)
        except InputError as problem:
            refused.append(f"{one.name}: {problem.message}")
            continue
        text = longer
        added.append(one.name)
    write_file(visit, text.encode("utf-8"))
    after = visit_of(text, visit)
    there = tuple(one.name for one in found if one.name in known)
    return Noted(tuple(added), there, tuple(refused), tuple(str(problem) for problem in after.problems()))


def _with_log(text: str, visit: Path, log: Path, logs: tuple[str, ...]) -> str:
    """The visit's text with the log in its list, by its path from the visit's folder where there is one."""
    folder, target = visit.resolve().parent, log.resolve()
    name = target.relative_to(folder) if target.is_relative_to(folder) else target
    if name.as_posix() in logs:
        return text
    return with_key(text, Spot("", 0, "logs"), list_text([*logs, name.as_posix()]))
