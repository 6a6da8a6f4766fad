"""Questions of a visit one at a time, and the answers put into its file."""

from __future__ import annotations

import re
from collections.abc import Collection
from pathlib import Path
from typing import NamedTuple

from dryermodel.errors import InputError, shortened
from dryermodel.field.clocked import CLOCKED, GAS_INPUT
from dryermodel.field.conflicts import conflicts
from dryermodel.field.contradictions import Conflict
from dryermodel.field.evidence import as_written
from dryermodel.field.measurements import ADVANCE, Measurement, advance, find_measurement
from dryermodel.field.observations import NO, YES, Observation
from dryermodel.field.round import ROOM, Part, parts
from dryermodel.field.safety import DANGERS
from dryermodel.field.tools import tools_at_hand
from dryermodel.field.visit import Visit, visit_of
from dryermodel.field.visit_text import (
    Spot,
    entry_block,
    toml_text,
    toml_value,
    with_block,
    with_key,
    without_block,
)
from dryermodel.field.visit_write import change_visit
from dryermodel.kinds import label

START = "# A visit. All that can stand here, as comments: dryermodel visit new FILE\n"
"""Text of a file that is begun by answering."""

Keys = dict[str, str | int]
"""Keys of an entry and what stands there."""

TEXT, YES_NO, QUANTITY = "text", "yes or no", "quantity"


class Question(NamedTuple):
    """One question.

    Attributes
    ----------
    part : str
        Heading under which it is asked.
    name : str
        Canonical name of what it asks for.
    words : str
        The question.
    how : str
        How it is answered.
    caution : str
        Before it is seen to; empty for most.
    kind : str
        TEXT, YES_NO or QUANTITY.
    section : str
        Of the file, where the answer goes; empty above all sections.
    tools : tuple of str
        Needed.
    """

    part: str
    name: str
    words: str
    how: str
    caution: str
    kind: str
    section: str
    tools: tuple[str, ...] = ()


def questions(have: Collection[str] | None = None, electric: bool = False) -> list[Question]:
    """Return every question in the order of safe work.

    Parameters
    ----------
    have : collection of str, optional
        Tools at hand; what needs another is left out.
    electric : bool
        The machine heats with electricity: what only gas has is left out.

    Raises
    ------
    InputError
        A tool that nothing needs.

    >>> [q.name for q in questions()][:4]
    ['smell of gas', 'exhaust in the room', 'limit trips', 'complaint']
    """
    every = [*_first(), *(question for part in parts(electric) for question in _of_part(part))]
    if have is None:
        return every
    at_hand = tools_at_hand(have)
    return [question for question in every if set(question.tools) <= at_hand]


def _first() -> list[Question]:
    safety = [
        Question("Before anything else", d.name, d.question, YES_NO, "", YES_NO, "safety") for d in DANGERS
    ]
    texts = (
        ("complaint", "What does the customer say?", "in their words", ""),
        (
            "scenario",
            "Which machine is it?",
            "a scenario file or a shipped name; Enter: standard",
            "",
        ),
        ("load", "What was in the drum?", "in words", "conditions"),
        ("controls", "How did the controls stand?", "in words", "conditions"),
    )
    return safety + [
        Question("The complaint and the machine", name, words, how, "", TEXT, section)
        for name, words, how, section in texts
    ]


def _of_part(part: Part) -> list[Question]:
    return [
        *(_seen(part.title, observation) for observation in part.observations),
        *(_measured(part.title, measurement) for measurement in part.measurements),
    ]


def _seen(part: str, entry: Observation) -> Question:
    return Question(part, entry.name, entry.question, YES_NO, entry.caution, YES_NO, "seen", entry.tools)


def _measured(part: str, entry: Measurement) -> Question:
    how = f"in {label(entry.unit)}" if entry.unit else "a number"
    if entry.words:
        how = f"{' / '.join(entry.words)}, or {how}"
    if entry.name == GAS_INPUT:
        how += ", or clocked: 1/2 ft3 in 82 s"
    if entry.name == ADVANCE:
        how += ", and when: 4 min from 20 to 40"
    others = [state for state in entry.states if state != entry.usual_state]
    if others:
        how += f"; add '@ {others[0]}' if taken so"
    section = "conditions" if entry.name in ROOM else "measurement"
    tools = tuple(tool for tool in entry.tools if tool != "hand")
    return Question(part, entry.name, entry.question, how, entry.caution, QUANTITY, section, tools)


# What is answered already ---------------------------------------------------------------------------


def answered(visit: Visit, question: Question) -> str:
    """Return how a question is answered in a visit, as it is written there; empty if it is not."""
    if question.name == "scenario":
        return visit.file.scenario if "scenario" in visit.file.model_fields_set else ""
    if question.kind == TEXT:
        home = visit.file.conditions if question.section else visit.file
        return str(getattr(home, question.name))
    if question.kind == YES_NO:
        return {True: "yes", False: "no", None: ""}[_said(visit, question)]
    if question.section == "conditions":
        return getattr(visit.file.conditions, question.name.replace(" ", "_")) or ""
    return "; ".join(_as_typed(visit, spot) for spot in _entries(visit, question.name))


def _said(visit: Visit, question: Question) -> bool | None:
    if question.section == "safety":
        return next((yes for name, yes in visit.file.safety.items() if _same(name, question.name)), None)
    return next((seen.item.yes for seen in visit.seen if seen.item.name == question.name), None)


def _same(name: str, other: str) -> bool:
    return re.sub(r"[\W_]+", " ", name.lower()) == other


def _entries(visit: Visit, name: str) -> list[Spot]:
    """Return where the entries of a measurement stand, of the timer's advance those of every interval."""
    return [
        m.spot
        for m in visit.measured
        if m.spot.section == "measurement" and (m.item.name == name or m.item.name.startswith(f"{name} "))
    ]


def _as_typed(visit: Visit, spot: Spot) -> str:
    entry = visit.file.measurement[spot.nth]
    if entry.dial is not None:
        return f"{entry.dial} in {entry.seconds}" + (f", {entry.turns} turns" if entry.turns > 1 else "")
    text = str(entry.value)
    text += f" from {entry.start} to {entry.end}" if entry.start is not None else ""
    text += f" +- {entry.accuracy}" if entry.accuracy is not None else ""
    return text + (f" @ {entry.state}" if entry.state else "")


# Answers --------------------------------------------------------------------------------------------


def put_answer(path: Path, question: Question, answer: str) -> tuple[Visit, list[Conflict]]:
    """Put an answer into a visit file, in the place of the one before; all other lines stay as they are.

    Parameters
    ----------
    path : Path
        The file; made if it is not there.
    question : Question
        One of :func:`questions`.
    answer : str
        As typed; ``-`` takes the answer away.

    Returns
    -------
    tuple of Visit and list of Conflict
        The visit as it is now, and what contradicts the answer.

    Raises
    ------
    InputError
        The answer cannot be read or cannot be, or the file cannot be written; it is then as it was.
    """
    told: list[Conflict] = []

    def admit(before: Visit, after: Visit) -> None:
        fresh = [c for c in _conflicts(after) if c not in _conflicts(before)]
        for conflict in fresh:
            if conflict.refused:
                raise InputError(conflict.message, after.label)
        told.extend(fresh)

    if question.kind == QUANTITY and question.section == "measurement" and answer != AWAY:
        _require_value(answer)
    visit = change_visit(path, lambda text: with_answer(text, path, question, answer), admit, START)
    return visit, told


AWAY = "-"
"""Answer that takes an answer away."""


def _conflicts(visit: Visit) -> list[Conflict]:
    return conflicts([m.item for m in visit.measured], [s.item for s in visit.seen], visit.scenario)


def _require_value(answer: str) -> None:
    if not as_written(answer).value:
        raise InputError("a value is wanted before the rest")


def with_answer(text: str, path: Path, question: Question, answer: str) -> str:
    """Return the text of a visit file with one answer in the place of the one before.

    Parameters
    ----------
    text : str
        Of the file, with plain line ends.
    path : Path
        The file.
    question, answer
        As for :func:`put_answer`.
    """
    visit = visit_of(text, path)
    if question.kind == QUANTITY and question.section == "measurement":
        return _with_measured(text, visit, question.name, answer)
    value = None if answer == AWAY else _value(question, answer)
    return with_key(text, _spot(visit, question), value)


def _value(question: Question, answer: str) -> str:
    """Return an answer as TOML writes it."""
    if question.kind != YES_NO:
        return toml_text(answer)
    if answer.lower() not in YES | NO:
        raise InputError(f"'{shortened(answer)}': answer yes or no")
    return "true" if answer.lower() in YES else "false"


def _spot(visit: Visit, question: Question) -> Spot:
    """Return where an answer goes: in the place of the one there is, however it is spelt."""
    if question.section == "safety":
        same = [name for name in visit.file.safety if _same(name, question.name)]
        return Spot("safety", 0, same[0] if same else question.name)
    if question.section == "seen":
        return next(
            (s.spot for s in visit.seen if s.item.name == question.name), Spot("seen", 0, question.name)
        )
    return Spot(question.section, 0, question.name.replace(" ", "_"))


def _with_measured(text: str, visit: Visit, name: str, answer: str) -> str:
    old = _entries(visit, name)
    if answer == AWAY:
        for spot in reversed(old):
            text = without_block(text, spot)
        return text
    keys = _keys(name, answer)
    same = [spot for spot in old if _number(visit, spot) == _number_of(name, keys)]
    if not same:
        return with_block(text, entry_block("measurement", {"name": name} | keys))
    for key in ("value", "accuracy", "state", "from", "to", "dial", "seconds", "turns"):
        text = with_key(text, same[-1]._replace(key=key), toml_value(keys[key]) if key in keys else None)
    return text


def _number(visit: Visit, spot: Spot) -> str:
    """Return which number of the model an entry is."""
    return next(m.item.number for m in visit.measured if m.spot == spot)


def _number_of(name: str, keys: Keys) -> str:
    """Return which number an answer is; nothing if it has no state or interval that there is."""
    entry = find_measurement(name)
    if "from" in keys:
        start, end = (60.0 * float(str(keys[key]).split()[0]) for key in ("from", "to"))
        return advance(start, end).number()
    return entry.states.get(str(keys.get("state", entry.usual_state)), "")


_WHEN = re.compile(
    r"(?P<value>.+?),?\s+(?:from\s+)?(?P<start>\d+)\s*(?:min)?\s*(?:to|-)\s*(?P<end>\d+)\s*(?:min)?", re.I
)


def _keys(name: str, answer: str) -> Keys:
    """Return the keys of an entry that say what was answered."""
    clocked = CLOCKED.fullmatch(answer) if name == GAS_INPUT else None
    if clocked:
        turns = {"turns": int(clocked["turns"])} if clocked["turns"] else {}
        return {"dial": clocked["dial"], "seconds": clocked["seconds"]} | turns
    when = _WHEN.fullmatch(answer) if name == ADVANCE else None
    if when:
        return {"value": when["value"], "from": f"{when['start']} min", "to": f"{when['end']} min"}
    return {key: text for key, text in as_written(answer)._asdict().items() if text}
