"""The order of a visit: what is measured and looked at together, in the order of safe work."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from dryermodel.field.measurements import Measurement, measurements
from dryermodel.field.observations import Observation, observations
from dryermodel.scenario.faults import catalogue
from dryermodel.scenario.model import Scenario

ROOM = ("room temperature", "room humidity")
"""Measurements of the room: taken first, though they hold for the whole cycle."""

GAS_ONLY = (
    "gas input", "gas used", "manifold pressure", "supply pressure", "time to flame", "ignition tries",
    "igniter current", "igniter power",
)  # fmt: skip
"""Measurements that an electric machine does not have."""

_OF_THE_FLAME = ("glows", "tries_in_vain", "longest_glow", "combustion_air", "burner_cycles")
"""Numbers of observations that an electric machine does not have, or nobody can see on it."""


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
def parts(electric: bool = False) -> tuple[Part, ...]:
    """Return every part of a visit in order; each measurement and question stands in just one.

    Parameters
    ----------
    electric : bool
        The machine heats with electricity: what only gas has is left out.

    >>> [part.title for part in parts()][0]
    'Before it starts: nothing opened'
    """
    return tuple(
        Part(
            title,
            tuple(
                m for m in measurements().values() if _state(m) in states and not (electric and gas_only(m))
            ),
            tuple(o for o in observations().values() if o.when == when and not (electric and gas_only(o))),
        )
        for title, states, when in _PARTS
    )


def gas_only(entry: Measurement | Observation) -> bool:
    """Whether a measurement or a question has a meaning for a gas machine only."""
    if isinstance(entry, Measurement):
        return entry.name in GAS_ONLY
    faults = [catalogue()[key] for key in entry.finds]
    only = bool(faults) and all(fault.gas_only for fault in faults)
    return only or entry.number in _OF_THE_FLAME or "gas qualification" in entry.tools


def is_electric(scenario: Scenario) -> bool:
    """Whether a machine heats with electricity."""
    return bool(scenario.model.machine.heat == "electric")


def _state(entry: Measurement) -> str:
    return "before start" if entry.name in ROOM else entry.usual_state
