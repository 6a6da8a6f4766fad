"""What cannot all be so: answers that contradict each other, and readings this machine cannot give."""

from __future__ import annotations

from collections.abc import Sequence

from dryermodel.errors import InputError
from dryermodel.field.beyond import IMPOSSIBLE, Machine
from dryermodel.field.contradictions import CONTRADICTIONS, Conflict, Told
from dryermodel.field.evidence import Evidence, Measured, Seen
from dryermodel.scenario.model import Scenario


def conflicts(
    measured: Sequence[Measured], seen: Sequence[Seen], scenario: Scenario | None = None
) -> list[Conflict]:
    """Return what cannot all be so, the most certain first.

    Parameters
    ----------
    measured : sequence of Measured
        Several of the same number are compared too.
    seen : sequence of Seen
        Answers.
    scenario : Scenario, optional
        The machine; without one only contradictions are looked for.
    """
    known = Told(measured, seen)
    machine = Machine(scenario) if scenario is not None else None
    found = [] if machine is None else [c for rule in IMPOSSIBLE for c in rule(known, machine)]
    return found + [c for check in CONTRADICTIONS for c in check(known)]


def require_sensible(evidence: Evidence, scenario: Scenario, where: str = "") -> None:
    """Raise InputError at the first thing in the evidence that cannot be; see :func:`conflicts`."""
    for found in conflicts(evidence.measured, evidence.seen, scenario):
        key = "" if found.message.startswith(found.names[0]) else found.names[0]
        raise InputError(found.message, where, key)
