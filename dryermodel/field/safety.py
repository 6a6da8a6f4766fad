"""What comes before any measurement: three questions, and what to do at a yes."""

from __future__ import annotations

from typing import NamedTuple

from dryermodel.errors import InputError, did_you_mean, shortened
from dryermodel.field.measurements import plain


class Danger(NamedTuple):
    """One thing that can hurt someone: its name, how it is asked for, and what to do."""

    name: str
    question: str
    advice: str
    leave: bool  # nothing else is done before it is seen to


DANGERS = (
    Danger(
        "smell of gas",
        "Does it smell of gas?",
        "Smell of gas: no switch, no flame; everybody out, and call the gas utility from outside.",
        True,
    ),
    Danger(
        "exhaust in the room",
        "Does exhaust blow into the room: vent off or indoors, headache, an alarm for carbon monoxide?",
        "Exhaust in the room: burner exhaust holds carbon monoxide. Stop the machine, air the room, and have "
        "the vent and the flame seen to by a qualified person before it runs again.",
        True,
    ),
    Danger(
        "limit trips",
        "Does the high limit trip, or has the thermal cut-off blown?",
        "A tripping limit is a fire risk and not a setting: never bypass it. Look at vent and lint first.",
        False,
    ),
)
"""In the order in which they are asked."""

RULES = (
    "Unplug before opening. No running with panels off outside a bench test. Never bypass a limit.",
    "Gas work, leak tests and combustion checks: a qualified person where local rules say so.",
    "Local code and the rating plate decide.",
)
"""Cautions for the whole visit, one a line."""


def find_danger(text: str, where: str = "") -> Danger:
    """Return what a name stands for, or raise InputError with the nearest one.

    >>> find_danger("smell_of_gas").leave
    True
    """
    names = {plain(danger.name): danger for danger in DANGERS}
    if plain(text) not in names:
        near = did_you_mean(plain(text), names) or f"; one of {', '.join(names)}"
        raise InputError(f"'{shortened(text)}': unknown{near}", where)
    return names[plain(text)]
