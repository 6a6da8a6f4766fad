"""Findings about a machine that stood still on the way: who or what stopped it, and for how long."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

from dryermodel.cycle.engine import causes, switching
from dryermodel.cycle.events import CAUSES, Event
from dryermodel.findings.facts import Facts, Finding

LET_GO = CAUSES[causes.CAUSE_MOTOR_LET_GO]
"""Cause of an event at which a contact of the motor's own circuit opened."""

WHY = {
    "door opens": "the door was opened",
    "power is cut": "the power was cut",
    LET_GO: "a contact in its circuit (door, start or hold contact, or its overload) let go",
}
"""What stopped the motor, by what changed first."""


class Standstill(NamedTuple):
    """A stretch in which the motor did not run."""

    start: float  # [s]
    end: float  # [s]
    why: str  # after "because"; empty if not known


def why_stopped(event: Event) -> str:
    """Return what stopped the motor at an event, as words after "because" or "when"."""
    return WHY[LET_GO] if event.cause == LET_GO else WHY.get(event.changes[0], "")


def standstills(f: Facts) -> list[Standstill]:
    """Return the stretches between two in which the motor ran; the end of the cycle is not among them.

    Parameters
    ----------
    f : Facts
        Of the cycle.
    """
    runs = f.spans(switching.RUNNING)
    stops = {e.time: why_stopped(e) for e in f.result.events if "motor stops" in e.changes}
    return [Standstill(one[1], other[0], stops.get(one[1], "")) for one, other in pairwise(runs)]


def stood_still(f: Facts, until: float) -> float:
    """Return the time [s] at a standstill up to a time [s]."""
    return sum(max(min(s.end, until) - s.start, 0.0) for s in standstills(f))


def interrupted(f: Facts) -> Iterator[Finding]:
    """The machine stood still on the way and was started again."""
    stops = standstills(f)
    if not stops:
        return
    told = [
        f"from {f.say(s.start, 'time')} to {f.say(s.end, 'time')}" + (f" because {s.why}" if s.why else "")
        for s in stops
    ]
    whole = f.say(sum(s.end - s.start for s in stops), "time")
    yield Finding(
        12,
        f"The machine stood still {' and '.join(told)}: {whole} of the time above are no drying. It did not "
        "restart by itself; start was pressed.",
    )
