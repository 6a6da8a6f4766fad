"""Which test to do next: how much each one would tell about what is wrong, for each minute of work.

The expected information is the mutual information between what is wrong and the result: how much less
uncertain it would be after it, on average over the results that machines still in question would show.

D. V. Lindley, On a measure of the information provided by an experiment, Ann. Math. Stat. 27, 1956 (from
memory).
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.field.evidence import Measured
from dryermodel.field.measurements import Measurement, measurements
from dryermodel.field.observations import Observation, observations
from dryermodel.inference import likelihood as L

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from dryermodel.inference.diagnosis import Diagnosis

    Array = NDArray[np.float64]

KEPT = 1500
"""Machines still in question that results are worked out on."""

RESULTS = 48
"""Results of a measurement that are tried."""

LEAST_BITS = 0.005
"""Information below which a test is not worth telling."""

SETTING_UP = 1.0
"""Minutes that every test takes besides its own: getting at it, writing it down; assumed."""


class Pointer(NamedTuple):
    """What one result would point to."""

    result: str | tuple[float, float]  # "yes", "no", or from what to what [SI]
    share: float  # [1] how likely that result is
    leader: int  # hypothesis that would then be ahead
    probability: float  # [1] of it then


class NextTest(NamedTuple):
    """A test that has not been done, and what it would tell."""

    name: str
    test: Measurement | Observation
    bits: float
    minutes: float
    pointers: tuple[Pointer, ...]

    @property
    def rate(self) -> float:
        """Bits for each minute of work."""
        return self.bits / self.minutes


def next_tests(
    d: Diagnosis, tools: Collection[str] | None = None, minutes: Mapping[str, float] | None = None
) -> list[NextTest]:
    """Return the tests not yet done, the most information for a minute of work first.

    Parameters
    ----------
    d : Diagnosis
        What is known.
    tools : collection of str, optional
        At hand; all of them by default. Hands and eyes are always.
    minutes : mapping of str to float, optional
        Of work for a test, by its name, in place of the table's.
    """
    ground = _Ground(d)
    found = []
    for test in _not_done(d):
        if tools is not None and not set(test.tools) <= set(tools) | {"hand"}:
            continue
        work = (minutes or {}).get(test.name, test.minutes) + SETTING_UP
        bits, pointers = ground.measured(test) if isinstance(test, Measurement) else ground.answered(test)
        if bits >= LEAST_BITS:
            found.append(NextTest(test.name, test, bits, work, pointers))
    return sorted(found, key=lambda t: -t.rate)


def _not_done(d: Diagnosis) -> Sequence[Measurement | Observation]:
    done = {m.name for m in d.evidence.measured} | {s.name for s in d.evidence.seen}
    numbers = {m.number for m in d.evidence.measured}
    left: list[Measurement | Observation] = [
        m
        for m in measurements().values()
        if m.name not in done and m.number() not in numbers and m.number() in d.bank.batch.numbers
    ]
    return left + [o for o in observations().values() if o.name not in done]


class _Ground:
    """Machines still in question, drawn by their weights, and what is wrong with each."""

    def __init__(self, d: Diagnosis) -> None:
        self.d = d
        weights = d.posterior.weights
        generator = np.random.default_rng(d.seed)
        self.drawn = _systematic(weights / weights.sum(), KEPT, generator)
        self.generator = generator
        which = d.posterior.pool.batch.which[self.drawn]
        self.wrong = np.eye(len(d.bank.hypotheses))[which]  # (kept, hypotheses)
        self.before = _entropy(self.wrong.mean(axis=0))

    def answered(self, o: Observation) -> tuple[float, tuple[Pointer, ...]]:
        yes = L.share_yes(o, self.d.posterior.pool.batch, self.d.bank.hypotheses)[self.drawn]
        after, pointers = 0.0, []
        for word, p in (("yes", yes), ("no", 1.0 - yes)):
            share = float(p.mean())
            if share > 1e-9:
                held = p @ self.wrong / p.sum()
                after += share * _entropy(held)
                pointers.append(_pointer(word, share, held))
        return max(self.before - after, 0.0), tuple(pointers)

    def measured(self, m: Measurement) -> tuple[float, tuple[Pointer, ...]]:
        numbers = L.number_of(self.d.posterior.pool.batch.numbers, m.number())[self.drawn]
        there = np.isfinite(numbers)
        if not there.any():
            return 0.0, ()
        middle = _at(Measured(m, m.number(), 0.0, 0.0), float(np.median(numbers[there])))
        picked = self._results(middle, numbers, there)
        after, weights = 0.0, float(there.mean())
        held = []
        for value in picked:
            p = np.exp(L.log_measured(_at(middle, value), numbers, _range(numbers[there], middle)))
            held.append(p @ self.wrong / p.sum())
            after += weights * _entropy(held[-1]) / len(picked)
        if weights < 1.0:
            none = (~there).astype(float)
            after += (1.0 - weights) * _entropy(none @ self.wrong / none.sum())
        return max(self.before - after, 0.0), _thirds(picked, held, weights)

    def _results(self, m: Measured, numbers: Array, there: NDArray[np.bool_]) -> Array:
        known = np.sort(numbers[there])
        values = known[np.linspace(0, len(known) - 1, RESULTS).round().astype(int)]
        noise = L.spread(m, values) * self.generator.standard_normal(len(values))
        return np.sort(np.maximum(values + noise, 0.0))


def _at(m: Measured, value: float) -> Measured:
    return m._replace(
        value=value, accuracy=math.hypot(m.measurement.accuracy, m.measurement.relative * value)
    )


def _range(numbers: Array, m: Measured) -> float:
    return max(float(np.ptp(numbers)), 8.0 * m.accuracy, 1e-9)


def _thirds(values: Array, held: Sequence[Array], weight: float) -> tuple[Pointer, ...]:
    """Where a low, a middling and a high result would point."""
    found = []
    for part in np.array_split(np.arange(len(values)), 3):
        mean = np.mean([held[i] for i in part], axis=0)
        found.append(
            _pointer(
                (float(values[part[0]]), float(values[part[-1]])), weight * len(part) / len(values), mean
            )
        )
    return tuple(found)


def _pointer(result: str | tuple[float, float], share: float, held: Array) -> Pointer:
    leader = int(np.argmax(held))
    return Pointer(result, share, leader, float(held[leader]))


def _entropy(p: Array) -> float:
    """In bits.

    >>> _entropy(np.array([0.5, 0.5, 0.0]))
    1.0
    """
    known = p[p > 0.0]
    return float(-(known * np.log2(known)).sum())


def _systematic(weights: Array, count: int, generator: np.random.Generator) -> NDArray[np.int64]:
    """Draw machines by their weights, evenly spread over them."""
    at = (generator.random() + np.arange(count)) / count
    return np.minimum(np.searchsorted(np.cumsum(weights), at), len(weights) - 1).astype(np.int64)
