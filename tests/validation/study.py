"""How often the diagnosis is right, on visits whose truth is known.

The same visits (see ``visits``) are judged by the default bank without fresh cycles, by a plain posterior
from a bank three times as large with another seed (what can be known at all: the ceiling) and by a fixed list
of questions. All three are scored on the groups that the diagnosis names: faults which the evidence at hand
does not separate count as one answer.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from dryermodel.field.evidence import Evidence
from dryermodel.field.measurements import measurements
from dryermodel.inference.bank import Bank
from dryermodel.inference.diagnosis import FEWEST
from dryermodel.inference.groups import Curve, apart, curve, features, joined
from dryermodel.inference.posterior import Pool, Posterior, log_likelihood, pool_of
from dryermodel.inference.proposals import flattened
from tests.validation.decision_list import decide
from tests.validation.visits import EVIDENCE, Visits

Array = NDArray[np.float64]


@dataclass
class Answers:
    """What one judge said on many visits with one set of evidence."""

    rank: list[int] = field(default_factory=list)  # of the group that holds the truth, from 1
    strict: list[int] = field(default_factory=list)  # of the truth among single hypotheses
    said: list[float] = field(default_factory=list)  # probability of the first group
    size: list[int] = field(default_factory=list)  # faults in the first group
    spread_said: list[float] = field(default_factory=list)  # probability of every group worth a line
    spread_right: list[bool] = field(default_factory=list)
    effective: list[float] = field(default_factory=list)
    covered: list[bool] = field(default_factory=list)  # the true severity by the interval of 80 %
    severity_rank: list[float] = field(default_factory=list)
    first: list[int] = field(default_factory=list)  # likeliest hypothesis of the first group

    def within(self, most: int) -> NDArray[np.bool_]:
        """Whether the truth was among the first so many groups."""
        return np.array(self.rank) <= most


@dataclass
class Outcome:
    """All judges on one set of evidence."""

    method: Answers = field(default_factory=Answers)
    ceiling: Answers = field(default_factory=Answers)
    listed: list[bool] = field(default_factory=list)  # the list's fault is in the group of the truth
    listed_strictly: list[bool] = field(default_factory=list)
    truth: list[int] = field(default_factory=list)
    severity: list[float] = field(default_factory=list)  # of the first fault, 1 if it has none


class Judge:
    """A bank that is weighed by evidence which grows, each piece looked at once."""

    def __init__(self, bank: Bank) -> None:
        self.bank = bank
        self.pool: Pool = pool_of(bank)
        self.pool.log_drawn  # noqa: B018  worked out once for all visits
        self._apart: dict[frozenset[str], dict[tuple[int, int], float]] = {}
        self._curves: dict[frozenset[str], dict[int, Curve]] = {}

    def start(self) -> Array:
        return np.zeros(len(self.bank.batch))

    def more(self, log: Array, extra: Evidence) -> Array:
        return log + log_likelihood(self.bank, self.bank.batch, extra)

    def posterior(self, log: Array, evidence: Evidence) -> Posterior:
        p = Posterior(self.bank, self.pool, evidence)
        p.__dict__["log_likelihood"] = log  # where the cached property would put it
        return p

    def sets(self, p: Posterior) -> list[list[int]]:
        """Groups as `Diagnosis.alike` has them; what the same readings separate is worked out once."""
        names = frozenset([m.name for m in p.evidence.measured] + [s.name for s in p.evidence.seen])
        own, hypotheses = p.probabilities, self.bank.hypotheses
        order = [int(h) for h in np.argsort(-own, kind="stable")]
        singles = [h for h in order if len(hypotheses[h].faults) == 1]
        if names not in self._curves:
            found = features(self.bank, p.evidence)
            self._curves[names] = {h: curve(self.bank, found, h) for h in singles}
            self._apart[names] = {}
        curves, known = self._curves[names], self._apart[names]

        def distance(one: int, other: int) -> float:
            key = (min(one, other), max(one, other))
            if key not in known:
                known[key] = apart(curves[one], curves[other])
            return known[key]

        return [[h] for h in order if len(hypotheses[h].faults) != 1] + joined(singles, distance)


def study(
    bank: Bank,
    reference: Bank,
    visits: Visits,
    sets: Mapping[str, Sequence[str]] = EVIDENCE,
    only: Sequence[int] | None = None,
) -> dict[str, Outcome]:
    """Judge visits with growing sets of evidence.

    Parameters
    ----------
    bank : Bank
        The method's.
    reference : Bank
        The ceiling's, larger and of another seed.
    visits : Visits
        With known truth.
    sets : mapping of str to sequence of str
        Names of measurements and answers, each set beginning with the one before.
    only : sequence of int, optional
        Visits to judge; all by default.
    """
    found = {name: Outcome() for name in sets}
    method, ceiling = Judge(bank), Judge(reference)
    for visit in range(len(visits)) if only is None else only:
        logs, done = [method.start(), ceiling.start()], 0
        for name, tests in sets.items():
            extra = visits.evidence(visit, tests[done:])
            logs = [judge.more(log, extra) for judge, log in zip((method, ceiling), logs, strict=True)]
            done = len(tests)
            evidence = visits.evidence(visit, tests)
            p = method.posterior(logs[0], evidence)
            judges = (p, ceiling.posterior(logs[1], evidence))
            _note(found[name], visits, visit, method.sets(p), judges)
    return found


def _note(
    o: Outcome, visits: Visits, visit: int, sets: list[list[int]], judges: tuple[Posterior, Posterior]
) -> None:
    bank, evidence = judges[0].bank, judges[0].evidence
    truth = int(visits.truth.which[visit])
    severity = float(visits.truth.severities[visit, 0])
    h = bank.hypotheses[truth]
    graded = h.graded[:1] == h.faults[:1] != ()
    o.truth.append(truth)
    o.severity.append(severity if graded else 1.0)
    home = next(i for i, members in enumerate(sets) if truth in members)
    for a, p in zip((o.method, o.ceiling), judges, strict=True):
        note(a, p, sets, home, truth)
        if graded:
            below = severity_rank(p, truth, severity)
            a.severity_rank.append(below)
            a.covered.append(0.1 <= below <= 0.9)
    fault = decide(facts_of(evidence), sound_of(bank))
    named = next(i for i, other in enumerate(bank.hypotheses) if other.name == fault)
    o.listed.append(named in sets[home])
    o.listed_strictly.append(named == truth)


def note(a: Answers, p: Posterior, sets: Sequence[Sequence[int]], home: int, truth: int) -> None:
    """Note what a posterior says of groups, one of which holds the truth."""
    own = p.probabilities
    shares = np.array([own[list(members)].sum() for members in sets])
    top = int(np.argmax(shares))
    a.rank.append(1 + int((shares > shares[home]).sum()))
    a.strict.append(1 + int((own > own[truth]).sum()))
    a.said.append(float(shares[top]))
    a.size.append(len(sets[top]))
    a.effective.append(p.effective)
    a.first.append(max(sets[top], key=lambda h: float(own[h])))
    worth = np.flatnonzero(shares > 0.01)
    a.spread_said += [float(s) for s in shares[worth]]
    a.spread_right += [bool(i == home) for i in worth]


def severity_rank(p: Posterior, hypothesis: int, severity: float) -> float:
    """Share of the posterior severity of a fault that lies below the true one [1]."""
    mine = p.pool.batch.which == hypothesis
    w = flattened(p.log_weights[mine], FEWEST)  # as the diagnosis tells severities
    values = p.pool.batch.severities[mine, 0]
    return float(w[values < severity].sum() / w.sum())


def facts_of(evidence: Evidence) -> dict[str, float]:
    """Evidence as the decision list wants it."""
    return {m.name: m.value for m in evidence.measured} | {s.name: float(s.yes) for s in evidence.seen}


def sound_of(bank: Bank) -> dict[str, float]:
    """What a sound machine of this kind reads [SI], by the measurement's name."""
    numbers = bank.healthy
    return {m.name: numbers[m.number()] for m in measurements().values() if m.number() in numbers}
