"""What is believed after the evidence: the bank weighed by its likelihood, and refined where the weight sits.

Importance sampling with several proposals: every machine, whichever proposal it was drawn from, weighs its
prior density over the density of all proposals together (the balance heuristic), so that a refined machine
and one of the bank count alike and nothing is counted twice.

E. Veach and L. Guibas, Optimally combining sampling techniques for Monte Carlo rendering, 1995 (balance
heuristic); O. Cappe et al., Population Monte Carlo, J. Comput. Graph. Stat. 13, 2004 (both from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.field.complaints import complained_of
from dryermodel.inference import likelihood as L
from dryermodel.inference.bank import Bank, Batch

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from dryermodel.field.evidence import Evidence, Measured
    from dryermodel.field.observations import Observation

    Array = NDArray[np.float64]

ENOUGH = 150.0
"""Effective machines below which the answer is refined with fresh cycles."""

ROUNDS, FRESH = 2, 6000
"""Refinements at most, and fresh cycles in all of them together."""

TEMPERED = 1200.0
"""Effective machines to which weights are flattened before they say where to draw."""

WORTH = 0.004
"""Flattened share of a hypothesis from which on it is worth fresh cycles."""

FROM_PRIOR = 0.25
"""Share of a refinement drawn from the prior, so that no weight can grow without bound."""

INFLATED = 1.4
"""Variance of a proposal over that of the flattened weights."""

OUTSIDE_WIDER = 2.0
"""How much wider than the whole bank something outside the catalogue is thought to scatter; assumed."""


class Normal(NamedTuple):
    """A proposal for some of the numbers of a point, the rest drawn from the prior."""

    active: NDArray[np.int64]
    mean: Array
    root: Array  # lower Cholesky factor of the covariance


class Proposal(NamedTuple):
    """How many machines of a hypothesis were drawn, and from what; None: the prior."""

    hypothesis: int
    drawn: int
    near: Normal | None


@dataclass(frozen=True)
class Pool:
    """All machines at hand, and the proposals that they were drawn from."""

    batch: Batch
    proposals: tuple[Proposal, ...]

    @cached_property
    def log_drawn(self) -> Array:
        """Logarithm of the density of all proposals together over that of the prior, at each machine."""
        drawn = np.zeros(len(self.batch))
        for p in self.proposals:
            mine = np.flatnonzero(self.batch.which == p.hypothesis)
            drawn[mine] += p.drawn * _ratio(p.near, self.batch.points[mine])
        return np.log(drawn)


def _ratio(near: Normal | None, points: Array) -> Array:
    """Density of a proposal over that of the prior."""
    if near is None:
        return np.ones(len(points))
    return FROM_PRIOR + (1.0 - FROM_PRIOR) * np.exp(_log_normal_ratio(near, points))


def _log_normal_ratio(near: Normal, points: Array) -> Array:
    from scipy.linalg import solve_triangular

    x = points[:, near.active]
    z = solve_triangular(near.root, (x - near.mean).T, lower=True)
    log_det = float(np.log(np.diag(near.root)).sum())
    return np.asarray(0.5 * (x**2).sum(axis=1) - 0.5 * (z**2).sum(axis=0) - log_det)


def pool_of(bank: Bank) -> Pool:
    """Return the machines of a bank as a pool."""
    return Pool(bank.batch, tuple(Proposal(h, int(n), None) for h, n in enumerate(bank.counts)))


@dataclass(frozen=True)
class Posterior:
    """What is believed after the evidence.

    Attributes
    ----------
    bank : Bank
        Where it started.
    pool : Pool
        All machines at hand.
    evidence : Evidence
        What it stands on.
    """

    bank: Bank
    pool: Pool
    evidence: Evidence

    @cached_property
    def log_likelihood(self) -> Array:
        """Of the evidence on each machine."""
        return log_likelihood(self.bank, self.pool.batch, self.evidence)

    @cached_property
    def log_weights(self) -> Array:
        """Logarithm of prior times likelihood over what was drawn, of each machine."""
        prior = np.log([h.weight for h in self.bank.hypotheses])
        return np.asarray(prior[self.pool.batch.which] + self.log_likelihood - self.pool.log_drawn)

    @cached_property
    def _shares(self) -> tuple[Array, float]:
        outside = np.log(max(self.bank.priors.outside, 1e-300)) + log_outside(self.bank, self.evidence)
        top = max(float(self.log_weights.max()), outside)
        inside, beyond = np.exp(self.log_weights - top), float(np.exp(outside - top))
        total = float(inside.sum()) + beyond
        return inside / total, beyond / total

    @property
    def weights(self) -> Array:
        """Posterior weight of each machine; with `outside` they sum to 1."""
        return self._shares[0]

    @property
    def outside(self) -> float:
        """Probability that nothing in the catalogue explains the evidence."""
        return self._shares[1]

    @cached_property
    def probabilities(self) -> Array:
        """Probability of each hypothesis."""
        return np.asarray(
            np.bincount(self.pool.batch.which, self.weights, len(self.bank.hypotheses)), dtype=np.float64
        )

    @cached_property
    def effective(self) -> float:
        """Effective number of machines: of as many equal ones."""
        w = self.weights / max(float(self.weights.sum()), 1e-300)
        return float(1.0 / (w**2).sum())

    @property
    def cycles(self) -> int:
        """Cycles simulated for it, the bank's included."""
        return len(self.pool.batch)


def weigh(bank: Bank, evidence: Evidence) -> Posterior:
    """Weigh a bank by the evidence, without drawing more."""
    return Posterior(bank, pool_of(bank), evidence)


def judged(p: Posterior, seed: int, fresh: int = FRESH, enough: float = ENOUGH) -> Posterior:
    """Refine a posterior until it has enough effective machines, or the fresh cycles are used up.

    Parameters
    ----------
    p : Posterior
        To start from.
    seed : int
        Of the draws.
    fresh : int
        Cycles at most.
    enough : float
        Effective machines wanted.
    """
    generator = np.random.default_rng(seed)
    for _ in range(ROUNDS if fresh else 0):
        if p.effective >= enough:
            break
        p = refined(p, generator, fresh // ROUNDS)
    return p


def refined(p: Posterior, generator: np.random.Generator, count: int) -> Posterior:
    """Draw and simulate more machines where the weight sits.

    Parameters
    ----------
    p : Posterior
        To refine.
    generator : numpy Generator
        Of the draws.
    count : int
        Fresh cycles, about.
    """
    flat = _flattened(p.log_weights, TEMPERED)
    shares = np.bincount(p.pool.batch.which, flat, len(p.bank.hypotheses))
    chosen = np.flatnonzero(shares >= WORTH)
    proposals, points, which = [], [], []
    for h in chosen:
        n = max(40, round(count * float(shares[h] / shares[chosen].sum())))
        near = _near(p, int(h))
        points.append(_sample(near, n, p.pool.batch.points.shape[1], generator))
        which.append(np.full(n, h, dtype=np.int64))
        proposals.append(Proposal(int(h), n, near))
    fresh = p.bank.workshop.simulate(np.concatenate(which), np.concatenate(points))
    return replace(p, pool=Pool(joined(p.pool.batch, fresh), (*p.pool.proposals, *proposals)))


def _near(p: Posterior, h: int) -> Normal | None:
    """A normal proposal for one hypothesis: the numbers that the evidence moves, from flattened weights."""
    mine = np.flatnonzero(p.pool.batch.which == h)
    points = p.pool.batch.points[mine]
    w = _flattened(p.log_weights[mine], max(40.0, 0.1 * len(mine)))
    mean = w @ points
    variance = w @ (points - mean) ** 2
    effective = 1.0 / float((w**2).sum())
    moved = (np.abs(mean) > 3.0 / np.sqrt(effective)) | (variance < 1.0 - 3.5 * np.sqrt(2.0 / effective))
    active = np.flatnonzero(moved)
    if not len(active):
        return None
    away = points[:, active] - mean[active]
    covariance = (away * w[:, None]).T @ away
    held = 0.7 * covariance + 0.3 * np.diag(np.diag(covariance))
    held = INFLATED * held + 0.01 * np.eye(len(active))
    return Normal(active, mean[active], np.asarray(np.linalg.cholesky(held), dtype=np.float64))


def _sample(near: Normal | None, n: int, width: int, generator: np.random.Generator) -> Array:
    points = generator.standard_normal((n, width))
    if near is not None:
        local = generator.random(n) >= FROM_PRIOR
        z = generator.standard_normal((n, len(near.active)))
        moved = near.mean + z @ near.root.T
        points[:, near.active] = np.where(local[:, None], moved, points[:, near.active])
    return points


def _flattened(log_weights: Array, effective: float) -> Array:
    """Weights raised to the greatest power up to 1 that leaves so many effective ones; they sum to 1."""
    from scipy.optimize import brentq

    def weights(power: float) -> Array:
        w = np.exp(power * (log_weights - log_weights.max()))
        return np.asarray(w / w.sum())

    def short(power: float) -> float:
        return 1.0 / float((weights(power) ** 2).sum()) - min(effective, 0.9 * len(log_weights))

    return weights(1.0) if short(1.0) >= 0.0 else weights(float(brentq(short, 0.0, 1.0, xtol=1e-4)))


def joined(one: Batch, other: Batch) -> Batch:
    """Two batches as one."""
    numbers = {name: np.concatenate([v, other.numbers[name]]) for name, v in one.numbers.items()}
    return Batch(
        np.concatenate([one.which, other.which]),
        np.concatenate([one.points, other.points]),
        np.concatenate([one.severities, other.severities]),
        numbers,
    )


def log_likelihood(bank: Bank, batch: Batch, evidence: Evidence) -> Array:
    """Logarithm of the likelihood of all evidence on each machine."""
    total = np.zeros(len(batch))
    for m in evidence.measured:
        total += log_of_measured(bank, batch, m)
    for s in evidence.seen:
        total += L.log_seen(s.observation, s.yes, batch, bank.hypotheses)
    for o in complaints_of(evidence):
        total += L.log_seen(o, True, batch, bank.hypotheses)
    return total


def log_of_measured(bank: Bank, batch: Batch, m: Measured) -> Array:
    """Logarithm of the density of one measurement on each machine."""
    width = L.width_of(m, L.number_of(bank.batch.numbers, m.number))
    return L.log_measured(m, L.number_of(batch.numbers, m.number), width)


def complaints_of(evidence: Evidence) -> Sequence[Observation]:
    """What the customer's words say of a cycle."""
    return [c.as_seen for c in complained_of(evidence.complaint)]


def log_outside(bank: Bank, evidence: Evidence) -> float:
    """Logarithm of the likelihood of the evidence if nothing in the catalogue is behind it.

    Then numbers scatter about twice as widely as over the whole bank or land anywhere, and answers tell
    nothing.
    """
    total = 0.0
    for m in evidence.measured:
        total += _log_anywhere(bank, m)
    for o, yes in [
        *((s.observation, s.yes) for s in evidence.seen),
        *((c, True) for c in complaints_of(evidence)),
    ]:
        prior = (
            np.array([h.weight for h in bank.hypotheses])[bank.batch.which] / bank.counts[bank.batch.which]
        )
        p = float(prior @ L.share_yes(o, bank.batch, bank.hypotheses) / prior.sum())
        mixed = 0.5 * p + 0.25
        total += float(np.log(mixed if yes else 1.0 - mixed))
    return total


def _log_anywhere(bank: Bank, m: Measured) -> float:
    from scipy.stats import t

    numbers = L.number_of(bank.batch.numbers, m.number)
    known = numbers[np.isfinite(numbers)]
    if not len(known):
        return -float(np.log(max(abs(m.value), 1.0)))
    low, middle, high = np.quantile(known, [0.1, 0.5, 0.9])
    scale = max(OUTSIDE_WIDER * (high - low) / 2.56, m.accuracy, 1e-9)
    near = float(t.pdf((m.value - middle) / scale, L.FREEDOM)) / scale
    return float(np.log(0.5 * near + 0.5 / (OUTSIDE_WIDER * L.width_of(m, numbers))))
