"""Measurements from a log put into a visit file; all other lines of it stay as they are."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from dryermodel.errors import InputError
from dryermodel.field.traces.outcome import Found, entry
from dryermodel.field.visit import note_of, visit_of
from dryermodel.field.visit_text import Spot, entry_block, list_text, with_block, with_key
from dryermodel.field.visit_write import change_visit


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
    noting = _Noting(visit, log, found)
    after = change_visit(visit, noting.change)
    problems = tuple(str(problem) for problem in after.problems())
    return Noted(tuple(noting.added), tuple(noting.there), tuple(noting.refused), problems)


class _Noting:
    """One log's measurements on their way into the text of a visit, and what becomes of each."""

    def __init__(self, visit: Path, log: Path, found: tuple[Found, ...]) -> None:
        self.visit, self.log, self.found = visit, log, found
        self.added: list[str] = []
        self.there: list[str] = []
        self.refused: list[str] = []

    def change(self, text: str) -> str:
        """Return the text with what is not there yet."""
        before = visit_of(text, self.visit)
        known = {m.item.name for m in before.measured if m.spot.section == "measurement"}
        text = _with_log(text, self.visit, self.log, before.file.logs)
        for one in self.found:
            text = self._with(text, one, one.name in known)
        return text

    def _with(self, text: str, one: Found, known: bool) -> str:
        if known:
            self.there.append(one.name)
            return text
        longer = with_block(text, entry_block("measurement", {**entry(one), "note": note_of(self.log.name)}))
        try:
            visit_of(longer, self.visit)
        except InputError as problem:
            self.refused.append(f"{one.name}: {problem.message}")
            return text
        self.added.append(one.name)
        return longer


def _with_log(text: str, visit: Path, log: Path, logs: tuple[str, ...]) -> str:
    """The visit's text with the log in its list, by its path from the visit's folder where there is one."""
    folder, target = visit.resolve().parent, log.resolve()
    name = target.relative_to(folder) if target.is_relative_to(folder) else target
    if name.as_posix() in logs:
        return text
    return with_key(text, Spot("", 0, "logs"), list_text([*logs, name.as_posix()]))
