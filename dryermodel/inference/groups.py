"""Faults that a set of evidence cannot tell apart, whatever it will read.

Two faults look the same to some measurements when every machine with one of them has a twin with the other:
along the severities of one, the numbers stay within the scatter of instruments and of unknown machines from
those of the other at some severity of its own. That is asked of the bank, for the numbers at hand.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from dryermodel.inference import likelihood as L
from dryermodel.inference.posterior import complaints_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from dryermodel.field.evidence import Evidence
    from dryermodel.inference.bank import Bank

    Array = NDArray[np.float64]

STEPS = 6
"""Steps of severity in which a fault's numbers are averaged."""

ALIKE = 0.6
"""Distance in standard deviations, of unknown machines and instruments together, below which two faults look
the same; two normal distributions so far apart are told apart in 62 % of cases, where guessing has 50 %."""

ANSWERS = 0.35
"""Scatter of a yes/no answer that stands for one standard deviation: differences of less than about a fifth
in how often it is yes tell nothing from one visit."""


def features(bank: Bank, evidence: Evidence) -> Array:
    """Numbers of the bank's machines that the evidence sees, each over its own scatter, shape (n, k)."""
    columns = [_measured(bank, number, m) for number, m in ((m.number, m) for m in evidence.measured)]
    for o in [*(s.observation for s in evidence.seen), *complaints_of(evidence)]:
        columns.append(L.share_yes(o, bank.batch, bank.hypotheses)[:, None] / ANSWERS)
    return np.concatenate(columns, axis=1) if columns else np.zeros((len(bank.batch), 0))


def _measured(bank: Bank, name: str, m: object) -> Array:
    """A number over its error, and whether there is one at all."""
    numbers = L.number_of(bank.batch.numbers, name)
    there = np.isfinite(numbers)
    middle = float(np.median(numbers[there])) if there.any() else 0.0
    filled = np.where(there, numbers, middle)
    return np.column_stack([filled / np.maximum(L.spread(m, filled), 1e-12), there / ANSWERS])  # type: ignore[arg-type]


def curve(bank: Bank, found: Array, hypothesis: int) -> tuple[Array, Array]:
    """Means of a fault's numbers along its severity, and their scatter within a step."""
    mine = np.flatnonzero(bank.batch.which == hypothesis)
    h = bank.hypotheses[hypothesis]
    steps = STEPS if h.graded else 1
    order = mine[np.argsort(bank.batch.severities[mine, 0], kind="stable")]
    parts = np.array_split(found[order], steps)
    means = np.array([part.mean(axis=0) for part in parts])
    inside = np.mean([part.var(axis=0) for part in parts], axis=0)
    return means, inside


def apart(one: tuple[Array, Array], other: tuple[Array, Array]) -> float:
    """How far the numbers of one fault are from those of another at its best, in standard deviations."""
    scatter = np.sqrt(1.0 + 0.5 * (one[1] + other[1]))
    distance = (one[0][:, None, :] - other[0][None, :, :]) / scatter
    away = np.sqrt((distance**2).sum(axis=2))
    return float(min(away.min(axis=1).mean(), away.min(axis=0).mean()))


def groups(bank: Bank, evidence: Evidence, among: Sequence[int]) -> list[list[int]]:
    """Split hypotheses into groups that the evidence at hand does not separate.

    Parameters
    ----------
    bank : Bank
        Where their numbers come from.
    evidence : Evidence
        Which numbers are known; their values do not matter.
    among : sequence of int
        Single faults, the likeliest first; each joins the first group whose leader it looks like.
    """
    found = features(bank, evidence)
    curves = {h: curve(bank, found, h) for h in among}
    made: list[list[int]] = []
    for h in among:
        home = next((g for g in made if apart(curves[g[0]], curves[h]) < ALIKE), None)
        if home is None:
            made.append([h])
        else:
            home.append(h)
    return made
