"""What comes before any measurement: dangers in what was said, seen or found likely."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryermodel.field.safety import DANGERS
from dryermodel.scenario.fault_search import smells_of_gas, words_of
from dryermodel.scenario.faults import find_fault

if TYPE_CHECKING:
    from dryermodel.inference.diagnosis import Diagnosis

LIKELY = 0.1
"""Probability of a dangerous fault from which on its danger is told."""

GAS = (
    "Smell of gas: no switch, no flame; everybody out, and call the gas utility from outside. "
    "No reading is worth staying for."
)
EXHAUST = (
    "Exhaust in the room may hold carbon monoxide: stop the machine, air the room, and do not run it "
    "again before the vent is whole."
)
LIMIT = (
    "The high limit opens: something is overheating. Do not bridge it and do not leave the machine running "
    "unwatched; clear the vent before any other test."
)
BREAKER = (
    "A breaker that trips has found a short or a motor that stands: do not reset it again and again; "
    "unplug, and have cord, wiring and motor seen to by a qualified person."
)
YELLOW = "A yellow flame can make carbon monoxide: stop, and have the burner seen to by a qualified person."

SEEN_DANGERS = {"lint at the vent joint": EXHAUST, "short burns while wet": LIMIT, "flame yellow": YELLOW}
"""Observations that are a danger in themselves when the answer is yes."""


def must_leave(d: Diagnosis) -> bool:
    """Whether a danger was met with which nobody stays at the machine to test it."""
    told = {danger.advice for danger in DANGERS if danger.leave} & set(d.evidence.dangers)
    return bool(told) or smells_of_gas(d.evidence.complaint)


def cautions(d: Diagnosis) -> list[str]:
    """Return the dangers, the gravest first; they come before any information.

    Parameters
    ----------
    d : Diagnosis
        With its evidence.
    """
    found = list(d.evidence.dangers)
    found += [GAS] if smells_of_gas(d.evidence.complaint) else []
    found += [BREAKER] if "breakertrip" in words_of(d.evidence.complaint) else []
    found += [SEEN_DANGERS[s.name] for s in d.evidence.seen if s.yes and s.name in SEEN_DANGERS]
    if any(m.name == "high-limit trips" and m.value >= 1.0 for m in d.evidence.measured):
        found.append(LIMIT)
    likely = [find_fault(key) for key, p in d.involved.items() if p >= LIKELY]
    found += [f'If it is "{fault.title}", beware of {fault.danger}.' for fault in likely if fault.danger]
    return list(dict.fromkeys(found))
