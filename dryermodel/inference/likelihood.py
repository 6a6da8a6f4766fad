"""How likely the evidence is on each simulated machine.

A measurement is off by its instrument, by the model, and now and then by a slip: Student's t with four
degrees of freedom on the first two together, mixed with a share of anything at all. A yes/no answer has
people's error rates.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from dryermodel.field.observations import Observation
from dryermodel.scenario.faults import find_fault

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from dryermodel.field.evidence import Measured
    from dryermodel.inference.bank import Batch
    from dryermodel.inference.priors import Hypothesis

    Array = NDArray[np.float64]

FREEDOM = 4.0
"""Degrees of freedom of the error's distribution: tails heavier than normal ones; assumed."""

SLIP = 0.02
"""Share of measurements that are wrong altogether: misread, wrong unit, wrong place; assumed."""

STANDS = 0.1
"""Share of slips that come out the same when the thing is read again; assumed."""

DIAL = "dial "
"""Beginning of the name of the dial's advance between two minutes of the clock."""


def number_of(numbers: Mapping[str, Array], name: str) -> Array:
    """A number of many machines by its name; the dial's advance is worked out of its marks.

    >>> marks = {"dial_at_20min": np.array([60.0]), "dial_at_40min": np.array([300.0])}
    >>> number_of(marks, "dial 20-40")
    array([240.])
    """
    if not name.startswith(DIAL):
        return numbers[name]
    start, _, end = name.removeprefix(DIAL).partition("-")
    before = numbers[f"dial_at_{start}min"] if int(start) else 0.0
    return np.asarray(numbers[f"dial_at_{end}min"] - before)


def spread(m: Measured, predicted: Array) -> Array:
    """Scale of the error [SI] of a measurement on machines that should show `predicted`."""
    entry = m.measurement
    return np.asarray(np.sqrt(m.accuracy**2 + entry.model**2 + (entry.model_relative * predicted) ** 2))


def slip_of(m: Measured) -> float:
    """Probability [1] that a measurement is a slip: one that was read again and stands hardly is.

    >>> from dryermodel.field.evidence import read_measured
    >>> once = read_measured("static=0.9 in w.c.")
    >>> slip_of(once), round(slip_of(once._replace(times=2)), 6)
    (0.02, 0.002)
    """
    return float(SLIP * STANDS ** (m.times > 1))


def width_of(m: Measured, ends: Sequence[float]) -> float:
    """Range [SI] in which a slip may land: what the bank shows from end to end, and the value itself."""
    reach = (*ends, m.value)
    return max(max(reach) - min(reach), 8.0 * m.accuracy, 1e-9)


def log_measured(m: Measured, predicted: Array, width: float) -> Array:
    """Logarithm of the density of a measurement on each machine.

    Parameters
    ----------
    m : Measured
        What was measured.
    predicted : ndarray
        What each machine would show [SI]; NaN for one that has no such number, on which only a slip gives
        a value.
    width : float
        From :func:`width_of`.
    """
    from scipy.special import gammaln

    there = np.isfinite(predicted)
    shown = np.where(there, predicted, m.value)
    scale = np.maximum(spread(m, shown), 1e-12)
    z = (m.value - shown) / scale
    constant = gammaln(0.5 * (FREEDOM + 1.0)) - gammaln(0.5 * FREEDOM) - 0.5 * np.log(FREEDOM * np.pi)
    density = np.exp(constant - 0.5 * (FREEDOM + 1.0) * np.log1p(z * z / FREEDOM)) / scale
    slip = slip_of(m)
    return np.asarray(np.log((1.0 - slip) * np.where(there, density, 0.0) + slip / width))


def slipped(m: Measured, predicted: Array, width: float) -> Array:
    """Probability on each machine that the measurement is a slip; arguments as :func:`log_measured`."""
    return np.asarray(slip_of(m) / width / np.exp(log_measured(m, predicted, width)))


def share_yes(o: Observation, batch: Batch, hypotheses: Sequence[Hypothesis]) -> Array:
    """Probability that the answer is yes on each machine.

    Parameters
    ----------
    o : Observation
        The question.
    batch : Batch
        Machines.
    hypotheses : sequence of Hypothesis
        What they are numbered by.
    """
    so = _found(o, batch, hypotheses) if o.finds else _passed(o, batch.numbers)
    return np.asarray(o.yes_if_not + (o.yes_if_so - o.yes_if_not) * so)


def _passed(o: Observation, numbers: Mapping[str, Array]) -> Array:
    from scipy.special import expit

    x = (numbers[o.number] - o.threshold) / o.width
    return np.nan_to_num(np.asarray(expit(x if o.rising else -x), dtype=np.float64))


def _found(o: Observation, batch: Batch, hypotheses: Sequence[Hypothesis]) -> Array:
    """Share of lookers who would see the fault; half of them at the severity `half_seen`."""
    seen = np.zeros(len(batch))
    for number, h in enumerate(hypotheses):
        for place, key in enumerate(h.faults):
            if key in o.finds:
                mine = batch.which == number
                seen[mine] = np.maximum(seen[mine], _eyes(key, batch.severities[mine, place], o.half_seen))
    return seen


def _eyes(key: str, severity: Array, half: float) -> Array:
    """Share of lookers who see a fault that is this bad; all of them see one that is there or not."""
    if not find_fault(key).graded:
        return np.ones(len(severity))
    return np.asarray(severity**2 / (severity**2 + half**2))


def log_seen(o: Observation, yes: bool, batch: Batch, hypotheses: Sequence[Hypothesis]) -> Array:
    """Logarithm of the probability of an answer on each machine."""
    p = share_yes(o, batch, hypotheses)
    return np.log(p if yes else 1.0 - p)
