"""A bank's answer against plain importance sampling with far more machines, on the same visits."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from dryermodel.inference.bank import Bank, Batch
from tests.validation.study import Judge
from tests.validation.tables import markdown
from tests.validation.visits import EVIDENCE, Visits

Array = NDArray[np.float64]


def part_of(bank: Bank, size: int) -> Bank:
    """A bank of so many machines: the first of each hypothesis."""
    each = max(1, size // len(bank.hypotheses))
    which = bank.batch.which
    keep = np.concatenate([np.flatnonzero(which == h)[:each] for h in range(len(bank.hypotheses))])
    b = bank.batch
    numbers = {name: v[keep] for name, v in b.numbers.items()}
    batch = Batch(which[keep], b.points[keep], b.severities[keep], numbers)
    return Bank(bank.scenario, bank.priors, batch, bank.healthy, bank.seed)


def apart(one: Array, other: Array) -> float:
    """Total variation of two sets of probabilities: what share of belief sits elsewhere.

    >>> round(apart(np.array([0.6, 0.4]), np.array([0.5, 0.5])), 12)
    0.1
    """
    return 0.5 * float(np.abs(one / one.sum() - other / other.sum()).sum())


def distances(
    banks: Mapping[str, Bank], reference: Bank, visits: Visits, only: Sequence[int]
) -> dict[tuple[str, str], list[float]]:
    """Total variation of each bank's answer from the reference's, by the bank and the set of evidence."""
    found: dict[tuple[str, str], list[float]] = {}
    whole, judges = Judge(reference), {name: Judge(bank) for name, bank in banks.items()}
    for visit in only:
        for name, tests in EVIDENCE.items():
            evidence = visits.evidence(visit, tests)
            long = whole.posterior(whole.more(whole.start(), evidence), evidence).probabilities
            for own, judge in judges.items():
                p = judge.posterior(judge.more(judge.start(), evidence), evidence).probabilities
                found.setdefault((own, name), []).append(apart(p, long))
    return found


def long_run_table(bank: Bank, reference: Bank, visits: Visits, count: int = 20) -> str:
    """Median and worst distance on the first visits."""
    tenth = len(reference.batch) // 10
    banks = {
        f"{len(bank.batch):,} machines": bank,
        f"{tenth:,} machines, a tenth of the long run": part_of(bank, tenth),
    }
    found = distances(banks, reference, visits, range(count))
    rows = [[own, name, f"{np.median(d):.2f}", f"{np.max(d):.2f}"] for (own, name), d in found.items()]
    return markdown(["bank", "evidence", "belief elsewhere, median", "worst"], rows)
