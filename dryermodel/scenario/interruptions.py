"""What happens to the machine on the way: door, start button, mains."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from dryermodel import units
from dryermodel.errors import did_you_mean
from dryermodel.machine.circuit import DOOR_CLOSED, DOOR_OPENED, POWER_BACK, POWER_CUT, START_PRESSED

CODES: dict[str, int] = {
    "door opened": DOOR_OPENED,
    "door closed": DOOR_CLOSED,
    "start pressed": START_PRESSED,
    "power cut": POWER_CUT,
    "power back": POWER_BACK,
}
LATEST = "24 h"


class Interruption(NamedTuple):
    """One event: when, in seconds from the start, and what."""

    at: float
    what: str


def read_interruptions(value: object) -> tuple[Interruption, ...]:
    """Read a list of ``{at = "10 min", what = "door opened"}``, or the same as one text.

    The text form is for the command line: ``"10 min door opened; 12 min door closed"``.
    """
    if isinstance(value, str):
        return read_interruptions([_split(part) for part in value.split(";") if part.strip()])
    if not isinstance(value, list | tuple):
        raise ValueError('is a list such as [{at = "10 min", what = "door opened"}]')
    events = tuple(sorted((_read_one(item) for item in value), key=lambda event: event.at))
    _check_order(events)
    return events


def _split(text: str) -> dict[str, str]:
    """Split "10 min door opened" into its two parts."""
    for what in CODES:
        if text.strip().lower().endswith(what):
            return {"at": text.strip()[: -len(what)].strip(), "what": what}
    raise ValueError(f"'{text.strip()}' does not end in one of {_names()}")


def _names() -> str:
    return ", ".join(f"'{name}'" for name in CODES)


def _read_one(item: object) -> Interruption:
    if isinstance(item, Interruption):
        return item
    if not isinstance(item, Mapping) or set(item) != {"at", "what"}:
        raise ValueError(
            'each entry has exactly the two keys at and what: {at = "10 min", what = "door opened"}'
        )
    what = str(item["what"]).strip().lower()
    if what not in CODES:
        raise ValueError(f"'{item['what']}' is not one of {_names()}{did_you_mean(what, CODES)}")
    latest = units.parse(LATEST, "time")
    at = units.parse(str(item["at"]), "time", (0.0, latest))
    if not 0.0 <= at <= latest:
        raise ValueError(f"at = '{item['at']}' is outside the allowed 0 s to {LATEST}")
    return Interruption(at, what)


def _check_order(events: tuple[Interruption, ...]) -> None:
    """A door opens before it closes again, and power goes before it is back."""
    for first, second in (("door opened", "door closed"), ("power cut", "power back")):
        expected = first
        for event in events:
            if event.what not in (first, second):
                continue
            if event.what != expected:
                raise ValueError(
                    f"'{event.what}' at {event.at:g} s cannot be: '{expected}' must come before it"
                )
            expected = second if expected == first else first
