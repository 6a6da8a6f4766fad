"""What a visit file may hold, as written: names, quantities as text, answers; and what is wrong with one.

What the names and quantities mean is seen to in :mod:`dryermodel.field.visit`.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Mapping
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError

from dryermodel.errors import InputError, SeveralErrors, did_you_mean, shortened
from dryermodel.field.observations import NO, YES
from dryermodel.field.visit_text import Spot, line_of

SECTIONS = ("safety", "conditions", "seen")
"""Tables of a visit file that are there once."""

LISTS = ("measurement", "work", "after")
"""Tables of a visit file that may be there many times."""


def _as_written(value: object) -> object:
    """Plain numbers count as their text; everything else must be text."""
    if isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value):
        return f"{value!r}"
    return value


def _as_day(value: object) -> object:
    """TOML's own dates count as their text."""
    return value.isoformat() if isinstance(value, datetime.date | datetime.time) else value


def _as_answer(value: object) -> object:
    if isinstance(value, str) and value.strip().lower() in YES | NO:
        return value.strip().lower() in YES
    return value


Written = Annotated[str, BeforeValidator(_as_written)]
Day = Annotated[str, BeforeValidator(_as_day)]
Answer = Annotated[bool, BeforeValidator(_as_answer)]


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, populate_by_name=True)


class Entry(_Part):
    """One ``[[measurement]]`` or ``[[after]]``; the latter may be an answer, with yes or no as its value."""

    name: str = ""
    value: Written | None = None
    accuracy: Written | None = None
    state: str = ""
    start: Written | None = Field(default=None, alias="from")
    end: Written | None = Field(default=None, alias="to")
    dial: Written | None = None
    seconds: Written | None = None
    turns: int = Field(default=1, ge=1, le=100)
    note: str = ""


class Conditions(_Part):
    """What the machine stood and ran in."""

    room_temperature: Written | None = None
    room_humidity: Written | None = None
    load: str = ""
    controls: str = ""
    notes: str = ""


class Work(_Part):
    """One thing that was done."""

    date: Day = ""
    did: str = ""
    fault: str = ""


class VisitFile(_Part):
    """A visit file as written."""

    scenario: str = "standard"
    set: tuple[str, ...] = ()
    date: Day = ""
    complaint: str = ""
    logs: tuple[str, ...] = ()
    safety: dict[str, Answer] = {}
    conditions: Conditions = Conditions()
    seen: dict[str, Answer] = {}
    measurement: tuple[Entry, ...] = ()
    work: tuple[Work, ...] = ()
    after: tuple[Entry, ...] = ()


_PARTS: Mapping[str, type[BaseModel]] = {
    "measurement": Entry, "after": Entry, "work": Work, "conditions": Conditions, "": VisitFile,
}  # fmt: skip


def names_of(section: str) -> list[str]:
    """Return the keys a section may hold, as written in the file."""
    return [field.alias or name for name, field in _PARTS[section].model_fields.items()]


def read_visit_file(raw: Mapping[str, Any], label: str, text: str = "") -> VisitFile:
    """Return the contents of a visit file.

    Parameters
    ----------
    raw : mapping
        As TOML gives it.
    label : str
        How the file is called in messages.
    text : str
        The whole file, for the lines in messages.

    Raises
    ------
    SeveralErrors
        Unknown keys, or values of the wrong type; each with line, key and the nearest name.
    """
    file, slips = as_far_as_read(raw, label, text)
    if slips:
        raise SeveralErrors(list(slips.values()))
    return file


def as_far_as_read(
    raw: Mapping[str, Any], label: str, text: str = ""
) -> tuple[VisitFile, dict[Spot, InputError]]:
    """Return what can be read of a visit file, and what is wrong with the rest by its place.

    Parameters
    ----------
    raw, label, text
        As for :func:`read_visit_file`.
    """
    held, slips = _tuples(raw), dict[Spot, InputError]()
    while True:
        try:
            return VisitFile.model_validate(held), slips
        except ValidationError as problem:
            for error in problem.errors(include_url=False):
                spot = _spot(error["loc"])
                told = InputError(_message(error, spot), located(label, text, spot), spot.told())
                slips.setdefault(spot, told)
                _take_out(held, spot)


def _take_out(held: dict[str, Any], spot: Spot) -> None:
    """Take what stands at a place out of a file, so that the rest can be read."""
    if not spot.section:
        held.pop(spot.key, None)
    elif spot.section in LISTS and isinstance(held[spot.section], tuple) and held[spot.section]:
        entries = list(held[spot.section])
        old = entries[spot.nth]
        whole = not isinstance(old, dict) or spot.key not in old
        entries[spot.nth] = {} if whole else {key: v for key, v in old.items() if key != spot.key}
        held[spot.section] = tuple(entries)
    elif isinstance(held[spot.section], dict) and spot.key in held[spot.section]:
        held[spot.section] = {key: v for key, v in held[spot.section].items() if key != spot.key}
    else:
        held.pop(spot.section)


def located(label: str, text: str, spot: Spot) -> str:
    """Return the label with the line at which a spot stands, if it is found."""
    line = line_of(text, spot)
    return f"{label}, line {line}" if line else label


def _tuples(raw: Mapping[str, Any]) -> dict[str, Any]:
    """Lists as the tuples that the model holds, so that its checks can be strict; answers as their words."""
    held = {key: tuple(value) if isinstance(value, list) else value for key, value in raw.items()}
    if isinstance(held.get("after"), tuple):
        held["after"] = tuple(map(_in_words, held["after"]))
    return held


def _in_words(entry: object) -> object:
    """An entry whose value is an answer has it in words, as other entries have theirs."""
    if isinstance(entry, dict) and isinstance(entry.get("value"), bool):
        return {**entry, "value": "yes" if entry["value"] else "no"}
    return entry


def _spot(loc: tuple[int | str, ...]) -> Spot:
    """Return the place in the file that a place in the model stands for."""
    parts = [part for part in loc if part != "[key]"]
    if parts[0] in LISTS:
        nth = int(parts[1]) if len(parts) > 1 else 0
        return Spot(str(parts[0]), nth, str(parts[2]) if len(parts) > 2 else "")
    if parts[0] in SECTIONS:
        return Spot(str(parts[0]), 0, str(parts[1]) if len(parts) > 1 else "")
    return Spot("", 0, str(parts[0]))


def _message(error: Mapping[str, Any], spot: Spot) -> str:
    """Say in a person's words what pydantic found."""
    kind, value = error["type"], error["input"]
    if kind == "extra_forbidden":
        known = names_of(spot.section)
        return f"unknown key{did_you_mean(spot.key, known)}; keys: {', '.join(known)}"
    if spot.section in LISTS and not spot.key:
        return f"is a list of tables, each written [[{spot.section}]] on a line of its own"
    if spot.section in SECTIONS and not spot.key:
        return f"is a section, written [{spot.section}] on a line of its own"
    if kind.startswith("bool"):
        return f"is '{shortened(value)}'; it is yes or no, true or false"
    if spot.key == "turns":
        return f"is '{shortened(value)}'; it is a whole number of turns, 1 to 100"
    if not spot.section and spot.key in LISTS + SECTIONS + ("logs", "set"):
        return f'is a list of texts, e.g. {spot.key} = ["..."]'
    return f"is '{shortened(value)}'; it is text in quotes"
