"""Faults that a set of evidence cannot tell apart, whatever it will read.

Two faults look the same to some measurements when every machine with one of them has a twin with the other:
along the severities of one, the numbers stay within the scatter of instruments and of unknown machines from
those of the other at some severity of its own. That is asked of the bank, for the numbers at hand. What was
then read may still have spoken: members that are far less likely than the first are parted from it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.inference import likelihood as L
from dryermodel.inference.posterior import complaints_of

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from numpy.typing import NDArray

    from dryermodel.field.evidence import Evidence, Measured
    from dryermodel.inference.bank import Bank

    Array = NDArray[np.float64]

STEPS = 6
"""Steps of severity in which a fault's numbers are averaged."""

ALIKE = 0.6
"""Distance in standard deviations, of unknown machines and instruments together, below which two faults look
the same; two normal distributions so far apart are told apart in 62 % of cases, where guessing has 50 %."""

FAR_BEHIND = 0.1
"""Probability of a member over that of the first of its group below which it stands alone."""

ANSWERS = 0.35
"""Scatter of a yes/no answer that stands for one standard deviation: differences of less than about a fifth
in how often it is yes tell nothing from one visit."""


def features(bank: Bank, evidence: Evidence) -> Array:
    """Numbers of the bank's machines that the evidence sees, each over its own scatter, shape (n, k)."""
    columns = [_measured(bank, number, m) for number, m in ((m.number, m) for m in evidence.measured)]
    for o in [*(s.observation for s in evidence.seen), *complaints_of(evidence)]:
        columns.append(L.share_yes(o, bank.batch, bank.hypotheses)[:, None] / ANSWERS)
    return np.concatenate(columns, axis=1) if columns else np.zeros((len(bank.batch), 0))


def _measured(bank: Bank, name: str, m: Measured) -> Array:
    """A number over its error, and whether there is one at all."""
    numbers = L.number_of(bank.batch.numbers, name)
    there = np.isfinite(numbers)
    middle = float(np.median(numbers[there])) if there.any() else 0.0
    return np.column_stack([in_errors(m, np.where(there, numbers, middle)), there / ANSWERS])


def in_errors(m: Measured, numbers: Array) -> Array:
    """Numbers on a scale on which the error of a measurement is 1 everywhere.

    That is the integral of one over the error, of which one part is the same everywhere and one grows with
    the number: ``asinh(r x / a) / r``.
    """
    same = max(float(np.hypot(m.accuracy, m.measurement.model)), 1e-9)
    grows = m.measurement.model_relative
    return np.asarray(np.arcsinh(grows * numbers / same) / grows if grows > 0.0 else numbers / same)


class Curve(NamedTuple):
    """A fault's numbers along its severity."""

    means: Array  # in each step, shape (steps, k)
    inside: Array  # their variance within a step, shape (k,)
    machines: float  # in a step


def curve(bank: Bank, found: Array, hypothesis: int) -> Curve:
    """Means of a fault's numbers along its severity, and their scatter within a step."""
    mine = np.flatnonzero(bank.batch.which == hypothesis)
    h = bank.hypotheses[hypothesis]
    steps = STEPS if h.graded else 1
    order = mine[np.argsort(bank.batch.severities[mine, 0], kind="stable")]
    parts = np.array_split(found[order], steps)
    means = np.array([part.mean(axis=0) for part in parts])
    inside = np.mean([part.var(axis=0) for part in parts], axis=0)
    return Curve(means, inside, len(mine) / steps)


def apart(one: Curve, other: Curve) -> float:
    """How far the numbers of one fault are from those of another at its best, in standard deviations.

    What means of so few machines scatter by themselves is taken off.
    """
    scatter = np.sqrt(1.0 + 0.5 * (one.inside + other.inside))
    chance = ((one.inside / one.machines + other.inside / other.machines) / scatter**2).sum()
    ways = ((one.means / scatter, other.means / scatter), (other.means / scatter, one.means / scatter))
    away = [np.sqrt(np.maximum(_squares(points, line) - chance, 0.0)).mean() for points, line in ways]
    return float(min(away))


def _squares(points: Array, line: Array) -> Array:
    """Squares of the distances of points from a line through others, shape (points,)."""
    start = line[:-1] if len(line) > 1 else line
    way = np.diff(line, axis=0) if len(line) > 1 else np.zeros_like(line)
    off = points[:, None, :] - start
    along = np.clip((off * way).sum(axis=2) / np.maximum((way**2).sum(axis=1), 1e-300), 0.0, 1.0)
    return np.asarray(((off - along[:, :, None] * way) ** 2).sum(axis=2).min(axis=1))


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
    return joined(among, lambda one, other: apart(curves[one], curves[other]))


def parted(group: Sequence[int], probabilities: Array) -> list[list[int]]:
    """Split a group by what was read: those far less likely than the first stand each alone.

    Parameters
    ----------
    group : sequence of int
        Hypotheses, the likeliest first.
    probabilities : ndarray
        Of every hypothesis.

    >>> parted([3, 1, 0], np.array([0.01, 0.3, 0.0, 0.6]))
    [[3, 1], [0]]
    """
    near = [h for h in group if probabilities[h] >= FAR_BEHIND * probabilities[group[0]]]
    return [near, *([h] for h in group if h not in near)]


def joined(among: Sequence[int], distance: Callable[[int, int], float]) -> list[list[int]]:
    """Split hypotheses into groups by how far they are from the first of each.

    >>> joined([3, 1, 2], lambda one, other: 0.1 * abs(one - other) if one + other != 4 else 9.0)
    [[3, 2], [1]]
    """
    made: list[list[int]] = []
    for h in among:
        home = next((g for g in made if distance(g[0], h) < ALIKE), None)
        if home is None:
            made.append([h])
        else:
            home.append(h)
    return made
