"""The order of a visit: what is measured and looked at together, in the order of safe work."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from dryermodel.field.measurements import Measurement, measurements
from dryermodel.field.observations import Observation, observations

ROOM = ("room temperature", "room humidity")
"""Measurements of the room: taken first, though they hold for the whole cycle."""


class Part(NamedTuple):
    """What belongs together: title, measurements and questions."""

    title: str
    measurements: tuple[Measurement, ...]
    observations: tuple[Observation, ...]


_PARTS = (
    ("Before it starts: nothing opened", ("before start",), "before start"),
    ("Running, the load wet", ("running empty", "steady drying"), "running"),
    ("Running, the thermostat cycling", ("cycling", "heat off"), ""),
    ("When it has stopped", ("whole cycle", "end"), "end"),
    ("Bench test: a panel off, no heat, hands clear", (), "bench test"),
    ("Unplugged, gas cock shut", (), "unplugged"),
)


@cache
def parts() -> tuple[Part, ...]:
    """Return every part of a visit in order; each measurement and question stands in just one.

    >>> [part.title for part in parts()][0]
    'Before it starts: nothing opened'
    """
    return tuple(
        Part(
            title,
            tuple(m for m in measurements().values() if _state(m) in states),
            tuple(o for o in observations().values() if o.when == when),
        )
        for title, states, when in _PARTS
    )


def _state(entry: Measurement) -> str:
    return "before start" if entry.name in ROOM else entry.usual_state
