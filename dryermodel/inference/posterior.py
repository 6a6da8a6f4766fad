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
from dryermodel.inference.proposals import Normal, flattened, near, ratio, sample

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from dryermodel.field.evidence import Evidence, Measured
    from dryermodel.field.observations import Observation

    Array = NDArray[np.float64]

ENOUGH = 100.0
"""Effective machines below which the answer is refined with fresh cycles."""

ROUNDS, FRESH = 4, 6000
"""Refinements at most, and fresh cycles in all of them together."""

TEMPERED = 400.0
"""Effective machines to which weights are flattened before they say where to draw."""

WORTH = 0.004
"""Flattened share of a hypothesis from which on it is worth fresh cycles."""

DISTURBED, DOUBTED = 0.2, 0.1
"""Share of numbers, and of answers, that something outside the catalogue disturbs; assumed."""

ANYWHERE = 1.5
"""Range of what it then may read, over that of the whole bank; assumed."""


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
            drawn[mine] += p.drawn * ratio(p.near, self.batch.points[mine])
        return np.log(drawn)


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
        outside = np.log(max(self.bank.priors.outside, 1e-300)) + log_outside(
            self.bank, self.pool, self.evidence
        )
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
    batch, width = p.pool.batch, p.pool.batch.points.shape[1]
    flat = flattened(p.log_weights, TEMPERED)
    shares = np.bincount(batch.which, flat, len(p.bank.hypotheses))
    chosen = np.flatnonzero(shares >= WORTH)
    proposals, points, which = [], [], []
    for h in chosen:
        n = max(40, round(count * float(shares[h] / shares[chosen].sum())))
        mine = np.flatnonzero(batch.which == h)
        proposal = near(batch, mine, p.log_weights[mine], p.evidence.measured)
        points.append(sample(proposal, n, width, generator))
        which.append(np.full(n, h, dtype=np.int64))
        proposals.append(Proposal(int(h), n, proposal))
    fresh = p.bank.workshop.simulate(np.concatenate(which), np.concatenate(points))
    return replace(p, pool=Pool(joined(p.pool.batch, fresh), (*p.pool.proposals, *proposals)))


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
    width = L.width_of(m, bank.ends(m.number))
    return L.log_measured(m, L.number_of(batch.numbers, m.number), width)


def complaints_of(evidence: Evidence) -> Sequence[Observation]:
    """What the customer's words say of a cycle."""
    return [c.as_seen for c in complained_of(evidence.complaint)]


def log_outside(bank: Bank, pool: Pool, evidence: Evidence) -> float:
    """Logarithm of the likelihood of the evidence if something outside the catalogue is behind it.

    Then each number is that of a healthy machine or, in some cases, disturbed: anywhere at all; and each
    answer may as well be the other one.

    Parameters
    ----------
    bank : Bank
        Whose ranges say what "anywhere" is.
    pool : Pool
        Machines at hand.
    evidence : Evidence
        What is known.
    """
    from scipy.special import logsumexp

    healthy = np.flatnonzero(pool.batch.which == bank.healthy_hypothesis)
    total = -pool.log_drawn[healthy]
    for m in evidence.measured:
        width = L.width_of(m, bank.ends(m.number))
        own = np.exp(L.log_measured(m, L.number_of(pool.batch.numbers, m.number)[healthy], width))
        total = total + np.log((1.0 - DISTURBED) * own + DISTURBED / (ANYWHERE * width))
    answers = [(s.observation, s.yes) for s in evidence.seen]
    answers += [(complaint, True) for complaint in complaints_of(evidence)]
    for o, yes in answers:
        share = L.share_yes(o, pool.batch, bank.hypotheses)[healthy]
        total = total + np.log((1.0 - DOUBTED) * (share if yes else 1.0 - share) + 0.5 * DOUBTED)
    return float(logsumexp(total))
