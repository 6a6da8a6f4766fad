"""The answer of a diagnosis: what is likely wrong, how bad, how sure, and on what it stands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.field.evidence import Evidence, Measured
from dryermodel.inference import likelihood as L
from dryermodel.inference.groups import groups, parted
from dryermodel.inference.posterior import FRESH, Posterior, complaints_of, judged, log_of_measured, weigh
from dryermodel.inference.priors import HEALTHY
from dryermodel.inference.proposals import flattened

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from dryermodel.inference.bank import Bank

    Array = NDArray[np.float64]

INTERVAL = (0.1, 0.5, 0.9)
"""Quantiles of a severity that are told: an interval of 80 % and its middle."""

SHOWN = 0.01
"""Probability below which a group is not worth a line of its own."""

TRUSTED = 60.0
"""Effective machines from which on percentages, then good to about 6 points, are told without a warning."""

DOUBTFUL = 0.5
"""Probability of a slip from which on a measurement is doubted."""

FEWEST = 20.0
"""Effective machines of a fault below which its severity is told from weights that are flattened to so many:
a handful of machines has too narrow an interval."""

HIDDEN = 0.9
"""Quantile of the severities that a fault could still have without showing."""


class Interval(NamedTuple):
    """A number with an interval of 80 %."""

    low: float
    middle: float
    high: float


class Ranked(NamedTuple):
    """Faults that the evidence so far does not separate, together.

    Attributes
    ----------
    faults : tuple of str
        Their keys, the likeliest first; `HEALTHY` alone for no fault.
    together : bool
        Whether all of them are there at once; otherwise it is one of them.
    probability : float
        [1].
    members : mapping
        Probability of each of them; the whole when they are there together.
    severities : mapping of str to Interval
        How bad each graded one is if it is there [1].
    hypotheses : tuple of int
        Numbers of the hypotheses in it.
    """

    faults: tuple[str, ...]
    together: bool
    probability: float
    members: dict[str, float]
    severities: dict[str, Interval]
    hypotheses: tuple[int, ...]


class Reason(NamedTuple):
    """What one piece of evidence says for or against a group, and what the group would have shown."""

    name: str
    bits: float  # of evidence for it against everything else; negative: against it
    measured: float | bool
    predicted: Interval | float  # of a measurement [SI], or the share of yes
    measurement: Measured | None


@dataclass(frozen=True)
class Diagnosis:
    """What is likely wrong.

    Attributes
    ----------
    posterior : Posterior
        The weighed machines behind it.
    seed : int
        Of its draws.
    """

    posterior: Posterior
    seed: int

    @property
    def evidence(self) -> Evidence:
        """What it stands on."""
        return self.posterior.evidence

    @property
    def bank(self) -> Bank:
        """Where its machines come from."""
        return self.posterior.bank

    @cached_property
    def ranking(self) -> tuple[Ranked, ...]:
        """Groups of faults that what was read leaves together, the likeliest first.

        Of :attr:`alike`, members that are ten times less likely than the first stand alone, if enough
        machines fit for such a ratio to be trusted.
        """
        if not self.enough:
            return self.alike
        p = self.posterior.probabilities
        return self._in_order([part for r in self.alike for part in parted(r.hypotheses, p)])

    @cached_property
    def alike(self) -> tuple[Ranked, ...]:
        """Groups of faults that the readings at hand cannot separate, whatever they read; likeliest first."""
        p, hypotheses = self.posterior.probabilities, self.bank.hypotheses
        order = sorted(range(len(hypotheses)), key=lambda h: -p[h])
        singles = [h for h in order if len(hypotheses[h].faults) == 1]
        sets = [[h] for h in order if len(hypotheses[h].faults) != 1]
        if self.evidence.measured or self.evidence.seen:
            sets += groups(self.bank, self.evidence, singles)
        else:  # before anything is read, everything looks the same: an order of suspects is wanted
            sets += [[h] for h in singles]
        return self._in_order(sets)

    def _in_order(self, sets: Sequence[Sequence[int]]) -> tuple[Ranked, ...]:
        found = [self._ranked(members) for members in sets]
        return tuple(sorted(found, key=lambda r: -r.probability))

    def _ranked(self, members: Sequence[int]) -> Ranked:
        p, hypotheses = self.posterior.probabilities, self.bank.hypotheses
        first = hypotheses[members[0]]
        total = float(sum(p[h] for h in members))
        together = len(first.faults) > 1
        keys = first.faults if together else tuple(hypotheses[h].name for h in members)
        own = dict.fromkeys(keys, total) if together else {hypotheses[h].name: float(p[h]) for h in members}
        severities = {}
        for h in members:
            for place, key in enumerate(hypotheses[h].faults):
                if key in hypotheses[h].graded:
                    severities[key] = self._severity(h, place)
        return Ranked(keys, together, total, own, severities, tuple(members))

    def _severity(self, h: int, place: int) -> Interval:
        mine = self.posterior.pool.batch.which == h
        weights = flattened(self.posterior.log_weights[mine], FEWEST)
        return Interval(*quantiles(self.posterior.pool.batch.severities[mine, place], weights, INTERVAL))

    @cached_property
    def involved(self) -> dict[str, float]:
        """Probability that each fault is there, alone or with another."""
        p, found = self.posterior.probabilities, dict[str, float]()
        for h, hypothesis in enumerate(self.bank.hypotheses):
            for key in hypothesis.faults:
                found[key] = found.get(key, 0.0) + float(p[h])
        return found

    @property
    def sound(self) -> float:
        """Probability that nothing is wrong with it."""
        return float(self.posterior.probabilities[self.bank.healthy_hypothesis])

    @property
    def unexplained(self) -> float:
        """Probability that nothing in the catalogue explains the evidence."""
        return self.posterior.outside

    @property
    def enough(self) -> bool:
        """Whether enough of the simulated machines fit for the numbers to be trusted."""
        return self.posterior.effective >= TRUSTED

    def reasons(self, r: Ranked) -> list[Reason]:
        """What each piece of evidence says for or against a group, strongest first."""
        found = [self._of_measured(r, m) for m in self.evidence.measured]
        answers = [(s.observation, s.yes) for s in self.evidence.seen]
        answers += [(o, True) for o in complaints_of(self.evidence)]
        batch, w = self.posterior.pool.batch, self._weights_in(r)
        for o, yes in answers:
            share = L.share_yes(o, batch, self.bank.hypotheses)
            log = np.log(share if yes else 1.0 - share)
            found.append(Reason(o.name, self._bits(r, log), yes, float(w @ share), None))
        return sorted(found, key=lambda reason: -abs(reason.bits))

    def _of_measured(self, r: Ranked, m: Measured) -> Reason:
        batch = self.posterior.pool.batch
        log = log_of_measured(self.bank, batch, m)
        predicted = L.number_of(batch.numbers, m.number)
        w = self._without(r, log)
        there = np.isfinite(predicted) & (w > 0.0)
        interval = (
            Interval(*quantiles(predicted[there], w[there], INTERVAL))
            if there.any()
            else Interval(*[np.nan] * 3)
        )
        return Reason(m.name, self._bits(r, log), m.value, interval, m)

    def _inside(self, r: Ranked) -> NDArray[np.bool_]:
        return np.isin(self.posterior.pool.batch.which, r.hypotheses)

    def _weights_in(self, r: Ranked) -> Array:
        w = np.where(self._inside(r), self.posterior.weights, 0.0)
        return w / max(float(w.sum()), 1e-300)

    def _without(self, r: Ranked, log: Array) -> Array:
        """Weights within a group before this piece of evidence came in."""
        w = np.where(self._inside(r), self.posterior.log_weights - log, -np.inf)
        return np.asarray(np.exp(w - w.max()))

    def _bits(self, r: Ranked, log: Array) -> float:
        """Evidence of one piece for a group against all others, the rest of the evidence given [bit]."""
        before = self.posterior.log_weights - log
        w = np.exp(before - before.max())
        inside, likelihood = self._inside(r), np.exp(log)
        mine, others = w[inside], w[~inside]
        if mine.sum() <= 0.0 or others.sum() <= 0.0:
            return 0.0
        own = float(mine @ likelihood[inside]) / float(mine.sum())
        other = float(others @ likelihood[~inside]) / float(others.sum())
        return float(np.log2(max(own, 1e-300) / max(other, 1e-300)))

    def doubtful(self) -> list[Measured]:
        """Measurements that fit no likely machine: slips rather than readings, the worst first."""
        batch, w, found = self.posterior.pool.batch, self.posterior.weights, []
        for m in self.evidence.measured:
            width = L.width_of(m, self.bank.ends(m.number))
            share = float(w @ L.slipped(m, L.number_of(batch.numbers, m.number), width) / w.sum())
            if share > DOUBTFUL:
                found.append((share, m))
        return [m for _, m in sorted(found, key=lambda item: -item[0])]

    def hidden(self) -> list[tuple[str, float]]:
        """Graded faults that could be there without having shown, and how bad [1], the worst first.

        Of a machine that is called healthy: severities to which a tenth of those who have the fault would
        still come after this evidence.
        """
        p, found = self.posterior.probabilities, []
        for h, hypothesis in enumerate(self.bank.hypotheses):
            if len(hypothesis.faults) == 1 and hypothesis.graded and p[h] > 0.2 * hypothesis.weight:
                mine = self.posterior.pool.batch.which == h
                w = np.exp(self.posterior.log_weights[mine] - self.posterior.log_weights[mine].max())
                (worst,) = quantiles(self.posterior.pool.batch.severities[mine, 0], w, (HIDDEN,))
                found.append((hypothesis.faults[0], worst))
        return sorted(found, key=lambda item: -item[1])


def quantiles(values: Array, weights: Array, shares: Sequence[float]) -> list[float]:
    """Weighted quantiles.

    >>> quantiles(np.array([3.0, 1.0, 2.0]), np.array([1.0, 1.0, 2.0]), (0.5,))
    [2.0]
    """
    order = np.argsort(values, kind="stable")
    total = np.cumsum(weights[order])
    at = (total - 0.5 * weights[order]) / total[-1]
    return [float(v) for v in np.interp(shares, at, values[order])]


def diagnose(bank: Bank, evidence: Evidence, *, seed: int = 1, fresh: int = FRESH) -> Diagnosis:
    """Weigh what may be wrong by what was measured and seen.

    Parameters
    ----------
    bank : Bank
        Simulated machines of this kind.
    evidence : Evidence
        What is known; with none, the priors stand.
    seed : int
        Of the refinement.
    fresh : int
        Cycles drawn at most where too few machines fit; 0 for none.
    """
    return Diagnosis(judged(weigh(bank, evidence), seed, fresh), seed)


def is_healthy(r: Ranked) -> bool:
    """Whether a group stands for no fault."""
    return r.faults == (HEALTHY,)
