"""Does the advice save work: tests in the order it gives against a fixed order, from a complaint alone.

After every test it is noted how many minutes of work went into it and whether the very fault is on top. The
fixed order is what a technician does from common practice: looks first, then the cheap instruments, then the
panels off. Both do every test in the end if they must, so both end at the same answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from dryermodel.field.evidence import Evidence
from dryermodel.field.measurements import measurements
from dryermodel.field.observations import observations
from dryermodel.inference.bank import Bank
from dryermodel.inference.diagnosis import Diagnosis
from dryermodel.inference.next_test import SETTING_UP, next_tests
from tests.validation.study import Judge
from tests.validation.visits import LOG, Visits

Array = NDArray[np.float64]

FIXED: tuple[str, ...] = (
    "flame seen", "drum turns", "igniter glows", "weak air at the hood", "screen holds water", "load drips",
    "load too big", "long thin cord", "noisy drum", "motor hums", "exhaust temperature", "flap stuck",
    "vent crushed", "vent static", "exhaust flow", "gas input", "flame yellow", "cycle time",
    "final moisture", "peak exhaust temperature", "cut-out temperature", "burner cycles", "ignition tries",
    "time to flame", "glows without lighting", "short burns while wet", "vent choked", "drum seal gaps",
    "lint behind the screen", "thermal cut-off open", "igniter open", "thermostat open cold",
    "flame sensor open cold", "coil opens when hot", "thermostat closed hot", "blower wheel caked",
    "belt loose", "drum heavy by hand", "thermostat coated", "thermostat opens low", "high limit opens low",
    "manifold pressure", "supply pressure", "orifice wrong", "venturi dusty",
)  # fmt: skip
"""Common practice, from memory: what is seen first, then what is measured, then what is taken apart."""


class Step(NamedTuple):
    """Where a visit stands after a test."""

    minutes: float
    right: bool
    probability: float  # of the hypothesis on top


def work(name: str) -> float:
    """Minutes that a test takes, its own setting up included."""
    test = measurements().get(name) or observations()[name]
    return test.minutes + SETTING_UP


def by_order(judge: Judge, visits: Visits, visit: int, order: Sequence[str]) -> list[Step]:
    """Do the tests of a list one after another."""
    evidence = Evidence(complaint=visits.said[visit])
    log, minutes = judge.more(judge.start(), evidence), 0.0
    steps = [_step(judge, log, evidence, visits, visit, minutes)]
    for done, name in enumerate(order, 1):
        log = judge.more(log, visits.evidence(visit, [name]))
        minutes += work(name)
        evidence = visits.evidence(visit, order[:done], visits.said[visit])
        steps.append(_step(judge, log, evidence, visits, visit, minutes))
    return steps


def by_advice(judge: Judge, visits: Visits, visit: int, most: float, enough: float = 0.98) -> list[Step]:
    """Do what the advice puts first until somebody is sure, nothing tells more, or the time is up."""
    evidence = Evidence(complaint=visits.said[visit])
    log, minutes, done = judge.more(judge.start(), evidence), 0.0, list[str]()
    steps = [_step(judge, log, evidence, visits, visit, minutes)]
    while minutes < most and steps[-1].probability < enough:
        d = Diagnosis(judge.posterior(log, evidence), 1)
        name = next((t.name for t in next_tests(d) if t.name not in done), None)
        if name is None:
            break
        done.append(name)
        log = judge.more(log, visits.evidence(visit, [name]))
        minutes += work(name)
        evidence = visits.evidence(visit, done, visits.said[visit])
        steps.append(_step(judge, log, evidence, visits, visit, minutes))
    return steps


def _step(judge: Judge, log: Array, evidence: Evidence, visits: Visits, visit: int, minutes: float) -> Step:
    p = judge.posterior(log, evidence).probabilities
    top = int(np.argmax(p))
    return Step(minutes, top == int(visits.truth.which[visit]), float(p[top]))


def curve(walks: Sequence[Sequence[Step]], minutes: Array) -> Array:
    """Share of visits whose fault is on top after so many minutes; a walk that has ended stays as it is."""
    right = np.zeros(len(minutes))
    for steps in walks:
        at = np.searchsorted([s.minutes for s in steps], minutes, side="right") - 1
        right += np.array([s.right for s in steps])[at]
    return right / len(walks)


def reached(shares: Array, minutes: Array, wanted: float) -> float:
    """First minute from which on a curve stays at or above a share; infinite if it never does.

    >>> reached(np.array([0.2, 0.6, 0.5, 0.7]), np.array([0.0, 1.0, 2.0, 3.0]), 0.55)
    3.0
    """
    below = np.flatnonzero(shares < wanted)
    first = int(below[-1]) + 1 if len(below) else 0
    return float(minutes[first]) if first < len(minutes) else float("inf")


def complaining(visits: Visits) -> list[int]:
    """Visits on which the customer complains of something."""
    return [i for i, said in enumerate(visits.said) if said]


def every_test(bank: Bank) -> list[str]:
    """Names of all measurements and answers there are."""
    held = bank.batch.numbers
    return [m.name for m in measurements().values() if m.number() in held] + list(observations())


def most_tests() -> list[str]:
    """Every look and the readings of six and a log: as much as a bank of this size can weigh at once.

    With every measurement there is as well, not two of its 72,000 machines are left to carry the answer.
    """
    return list(dict.fromkeys([*LOG, *observations()]))


def sure(steps: Sequence[Step], enough: float = 0.9) -> Step | None:
    """Where a visit is when one hypothesis first has so much probability; None if it never does."""
    return next((s for s in steps if s.probability >= enough), None)
