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

from dryermodel.field.evidence import Measured, in_si
from dryermodel.field.measurements import Measurement, measurements
from dryermodel.field.observations import Observation, observations
from dryermodel.field.round import gas_only, is_electric
from dryermodel.inference import likelihood as L

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from dryermodel.inference.diagnosis import Diagnosis

    Array = NDArray[np.float64]

KEPT = 3000
"""Machines still in question that results are worked out on."""

RESULTS = 32
"""Results of a measurement that are tried."""

SHUFFLES = 8
"""Times that what is wrong is dealt out anew among the machines: what a test seems to tell then is chance."""

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


def shown_in_si(tests: Sequence[NextTest]) -> list[NextTest]:
    """Return tests whose results are shown in metric units."""
    return [t._replace(test=in_si(t.test)) if isinstance(t.test, Measurement) else t for t in tests]


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
    held = d.bank.batch.numbers
    left += [o for o in observations().values() if o.name not in done and (o.finds or o.number in held)]
    electric = is_electric(d.bank.scenario)
    return [test for test in left if not (electric and gas_only(test))]


class _Ground:
    """Machines still in question, drawn by their weights, and what is wrong with each.

    A few hundred machines make any test look as if it told something: some fault always happens to sit at
    one end. That is measured with the faults shuffled among the machines, and taken off.
    """

    def __init__(self, d: Diagnosis) -> None:
        self.d = d
        weights = d.posterior.weights
        self.generator = np.random.default_rng(d.seed)
        drawn = _systematic(weights / weights.sum(), KEPT, self.generator)
        which = d.posterior.pool.batch.which
        found, counts = np.unique(drawn, return_counts=True)
        order = np.argsort(which[found], kind="stable")
        self.drawn, self.weights = found[order], counts[order] / KEPT
        self.possible, self.starts = np.unique(which[self.drawn], return_index=True)
        self.chance = [self.generator.permutation(len(order)) for _ in range(SHUFFLES)]

    def answered(self, o: Observation) -> tuple[float, tuple[Pointer, ...]]:
        """Information of an answer [bit], and where yes and no would point."""
        yes = L.share_yes(o, self.d.posterior.pool.batch, self.d.bank.hypotheses)[self.drawn]
        both = np.array([yes, 1.0 - yes])
        held = self._held(both)
        shares = both @ self.weights
        pointers = tuple(
            self._pointer(word, float(share), p)
            for word, share, p in zip(("yes", "no"), shares, held, strict=True)
        )
        return self._bits(both, shares), pointers

    def measured(self, m: Measurement) -> tuple[float, tuple[Pointer, ...]]:
        """Information of a measurement [bit], and where a low, a middling and a high result would point."""
        numbers = L.number_of(self.d.posterior.pool.batch.numbers, m.number())[self.drawn]
        there = np.isfinite(numbers)
        if not there.any():
            return 0.0, ()
        low, high = m.within
        middle = _at(m, float(np.median(numbers[there])))
        picked = np.clip(self._results(middle, numbers, there), low, high)
        width = _range(numbers[there], middle)
        fits = np.array([np.exp(L.log_measured(_at(m, float(v)), numbers, width)) for v in picked])
        share = float(self.weights[there].sum())
        shares = np.append(np.full(len(picked), share / len(picked)), 1.0 - share)
        pointers = self._thirds(picked, self._held(fits), share)
        return self._bits(np.vstack([fits, ~there]), shares), pointers

    def _results(self, m: Measured, numbers: Array, there: NDArray[np.bool_]) -> Array:
        order = np.argsort(numbers[there])
        known, at = numbers[there][order], np.cumsum(self.weights[there][order])
        wanted = (np.arange(RESULTS) + 0.5) / RESULTS * at[-1]
        values = known[np.minimum(np.searchsorted(at, wanted), len(known) - 1)]
        noise = L.spread(m, values) * self.generator.standard_normal(len(values))
        return np.sort(values + noise)

    def _held(self, fits: Array, order: NDArray[np.int64] | None = None) -> Array:
        """Probability of each fault after each result, shape (results, possible)."""
        weighed = fits * self.weights
        joint = np.add.reduceat(weighed if order is None else weighed[:, order], self.starts, axis=1)
        return np.asarray(joint / np.maximum(joint.sum(axis=1, keepdims=True), 1e-300))

    def _bits(self, fits: Array, shares: Array) -> float:
        """Fall of the uncertainty over the results, less what chance alone would make of it."""
        told = self._fall(fits, shares)
        luck = [self._fall(fits, shares, order) for order in self.chance]
        beyond = told - float(np.mean(luck))
        return beyond if beyond > 2.0 * float(np.std(luck)) else 0.0

    def _fall(self, fits: Array, shares: Array, order: NDArray[np.int64] | None = None) -> float:
        before = self._held(np.ones((1, len(self.weights))), order)
        return float(_entropies(before)[0] - shares @ _entropies(self._held(fits, order)))

    def _thirds(self, values: Array, held: Array, weight: float) -> tuple[Pointer, ...]:
        found = []
        for part in np.array_split(np.arange(len(values)), 3):
            ends = (float(values[part[0]]), float(values[part[-1]]))
            found.append(self._pointer(ends, weight * len(part) / len(values), held[part].mean(axis=0)))
        return tuple(found)

    def _pointer(self, result: str | tuple[float, float], share: float, held: Array) -> Pointer:
        leader = int(np.argmax(held))
        return Pointer(result, share, int(self.possible[leader]), float(held[leader]))


def _at(m: Measurement, value: float) -> Measured:
    """A result of a measurement with the table's accuracy, possible or not."""
    return Measured(m, m.number(), value, math.hypot(m.accuracy, m.relative * value))


def _range(numbers: Array, m: Measured) -> float:
    return max(float(np.ptp(numbers)), 8.0 * m.accuracy, 1e-9)


def _entropies(p: Array) -> Array:
    """Of each row, in bits.

    >>> _entropies(np.array([[0.5, 0.5, 0.0], [0.0, 1.0, 0.0]])).tolist()
    [1.0, 0.0]
    """
    return np.asarray(-(p * np.log2(np.where(p > 0.0, p, 1.0))).sum(axis=1)) + 0.0


def _systematic(weights: Array, count: int, generator: np.random.Generator) -> NDArray[np.int64]:
    """Draw machines by their weights, evenly spread over them."""
    at = (generator.random() + np.arange(count)) / count
    return np.minimum(np.searchsorted(np.cumsum(weights), at), len(weights) - 1).astype(np.int64)
