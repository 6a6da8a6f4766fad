"""What each repair buys, with the uncertainty of the diagnosis carried through.

Machines of a fault are drawn by their weights, each with its own unknowns, and run again with the fault
mended: the differences are what the repair would buy if it is that fault.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.inference.bank import LONGEST
from dryermodel.inference.diagnosis import INTERVAL, Interval, is_healthy, quantiles
from dryermodel.inference.draws import SEVERITIES
from dryermodel.inference.proposals import flattened

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from numpy.typing import NDArray

    from dryermodel.inference.diagnosis import Diagnosis

    Array = NDArray[np.float64]

TWINS = 40
"""Machines that are mended for each fault."""

WORTH = 0.03
"""Probability of a fault from which on its repair is worth working out."""

ENDLESS = 0.05
"""Share of machines whose cycle was given up from which on that is told."""

FEW = 10.0
"""Effective machines with what was mended below which their weights are flattened to so many."""

SAVED = ("cycle_time", "gas_energy", "electric_energy", "final_moisture")
"""Readings of the vocabulary that are compared."""


class Gain(NamedTuple):
    """What one repair buys if it is that fault.

    Attributes
    ----------
    fault : str
        Key.
    probability : float
        That the fault is there, alone or with another [1].
    before, saved : mapping of str to Interval
        Reading of the vocabulary as it is, and by how much the repair lowers it [SI].
    machines : int
        Mended ones behind it.
    given_up : bool
        Whether cycles among them did not end, mended or not, and were given up: what is saved, or lost, is
        then at least what is said.
    """

    fault: str
    probability: float
    before: dict[str, Interval]
    saved: dict[str, Interval]
    machines: int
    given_up: bool = False


class Mending(NamedTuple):
    """Machines with what was mended, and the same machines, loads and rooms without it.

    Attributes
    ----------
    faults : tuple of str
        Keys of what is mended.
    together : bool
        Whether each machine has all of them; otherwise each has one of them.
    effective : float
        Machines behind them that count, of those simulated with these faults [1]; below `FEW` their weights
        are flattened to so many, and the spread is wider than the evidence says.
    before, after : mapping of str to ndarray, shape (`TWINS`,)
        Every number of the bank [SI]; those of one place belong to one machine.
    """

    faults: tuple[str, ...]
    together: bool
    effective: float
    before: dict[str, Array]
    after: dict[str, Array]


class _Mended(NamedTuple):
    """Machines with one fault, and their twins without it."""

    faulty: NDArray[np.int64]  # places in the pool
    which: NDArray[np.int64]  # hypotheses of the twins
    points: Array


def gains(d: Diagnosis) -> list[Gain]:
    """Return what the repairs of the likely faults buy, the likeliest fault first.

    Parameters
    ----------
    d : Diagnosis
        What is likely wrong.
    """
    generator = np.random.default_rng([d.seed, 2])
    likely = [key for key, p in sorted(d.involved.items(), key=lambda kv: -kv[1]) if p >= WORTH]
    found = [(key, _mended(d, key, generator)) for key in likely]
    if not found:
        return []
    twins = d.bank.workshop.simulate(
        np.concatenate([m.which for _, m in found]), np.concatenate([m.points for _, m in found])
    )
    ends = np.cumsum([0, *(len(m.which) for _, m in found)])
    told = []
    for i, (key, mended) in enumerate(found):
        after = {name: twins.numbers[name][ends[i] : ends[i + 1]] for name in SAVED}
        told.append(_gain(d, key, mended, after))
    return told


def mend(d: Diagnosis, keys: Collection[str]) -> Mending | None:
    """Return machines that fit the evidence and have these faults, and the same machines with them mended.

    Parameters
    ----------
    d : Diagnosis
        What is likely wrong; the faults count as found, however likely it held them.
    keys : collection of str
        Of the faults that are mended.

    Returns
    -------
    Mending or None
        None where no simulated machine has any of them, as with gas faults of an electric machine.
    """
    having = [i for i, h in enumerate(d.bank.hypotheses) if keys and set(keys) <= set(h.faults)]
    together = bool(having)
    having = having or [i for i, h in enumerate(d.bank.hypotheses) if set(keys) & set(h.faults)]
    logs = np.where(np.isin(d.posterior.pool.batch.which, having), d.posterior.log_weights, -np.inf)
    if not np.isfinite(logs).any():
        return None
    weights = _shares(logs)
    effective = 1.0 / float(weights @ weights)
    if effective < FEW:  # rather too wide than the look of certainty that a single machine gives
        there = np.isfinite(logs)
        weights = np.zeros(len(logs))
        weights[there] = _shares(flattened(logs[there], FEW))
    mended = _without(d, weights, keys, np.random.default_rng([d.seed, 3]))
    twins = d.bank.workshop.simulate(mended.which, mended.points)
    before = {name: values[mended.faulty] for name, values in d.posterior.pool.batch.numbers.items()}
    after = {name: twins.numbers[name] for name in before}
    return Mending(tuple(keys), together, effective, before, after)


def _shares(logs: Array) -> Array:
    """Weights that sum to 1 [1] of their logarithms."""
    weights = np.exp(logs - logs.max())
    return np.asarray(weights / weights.sum())


def _mended(d: Diagnosis, key: str, generator: np.random.Generator) -> _Mended:
    """Draw machines with a fault by their weights, and say what they are without it."""
    having = [i for i, h in enumerate(d.bank.hypotheses) if key in h.faults]
    weights = np.where(np.isin(d.posterior.pool.batch.which, having), d.posterior.weights, 0.0)
    return _without(d, weights / weights.sum(), (key,), generator)


def _without(d: Diagnosis, shares: Array, keys: Collection[str], generator: np.random.Generator) -> _Mended:
    """Draw machines by their shares, and say what they are without some faults."""
    hypotheses, batch = d.bank.hypotheses, d.posterior.pool.batch
    numbers = {h.faults: i for i, h in enumerate(hypotheses)}
    faulty = generator.choice(len(shares), TWINS, p=shares)
    points, which = batch.points[faulty].copy(), np.empty(TWINS, dtype=np.int64)
    for i, place in enumerate(faulty):
        faults = hypotheses[batch.which[place]].faults
        left = tuple(f for f in faults if f not in keys)
        which[i] = numbers.get(left, numbers[()])
        if left and faults.index(left[0]) == 1:  # what was the second fault is now the first
            points[i, :SEVERITIES] = points[i, SEVERITIES - 1 :: -1]
    return _Mended(faulty, which, points)


def _gain(d: Diagnosis, key: str, mended: _Mended, after: dict[str, Array]) -> Gain:
    numbers = d.posterior.pool.batch.numbers
    before = {name: numbers[name][mended.faulty] for name in SAVED}
    return Gain(
        key,
        d.involved[key],
        {name: interval(before[name]) for name in SAVED},
        {name: interval(before[name] - after[name]) for name in SAVED},
        len(mended.faulty),
        any(float(np.mean(_endless(side["cycle_time"]))) > ENDLESS for side in (before, after)),
    )


def _endless(times: Array) -> NDArray[np.bool_]:
    """Which cycles the bank gave up."""
    return np.asarray(times >= 0.999 * LONGEST)


def interval(values: Array) -> Interval:
    """Interval of 80 % and middle of what is known of some values; NaN where nothing is."""
    known = values[np.isfinite(values)]
    return (
        Interval(*quantiles(known, np.ones(len(known)), INTERVAL)) if len(known) else Interval(*[np.nan] * 3)
    )


def worth_of(found: Sequence[Gain], name: str = "cycle_time") -> list[tuple[str, float]]:
    """Expected saving of each repair, its probability counted in, the greatest first."""
    return sorted(((g.fault, g.probability * g.saved[name].middle) for g in found), key=lambda kv: -kv[1])


def nothing_to_mend(d: Diagnosis) -> bool:
    """Whether no fault at all leads the ranking."""
    return is_healthy(d.ranking[0])
