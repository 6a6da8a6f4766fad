"""Banks whose machines follow from one line of algebra, so that every answer is known by other means.

A toy machine shows ``cycle_time = middle + slope * x`` for a standard normal x of its own, and whatever else
a test wants; no cycle is simulated.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr
from scipy.stats import t

from dryermodel.field.evidence import Measured
from dryermodel.inference.bank import Bank, Batch, spread_points
from dryermodel.inference.priors import Hypothesis, Priors
from dryermodel.scenario.model import load_scenario

Array = NDArray[np.float64]
Rule = Callable[[Array, Array], Mapping[str, Array]]  # points and severities of one hypothesis: its numbers

LEAST = 0.2
WIDTH = 4  # numbers in a toy point: two severities, two unknowns


class ToyShop:
    """Stands for the workshop: numbers from rules instead of cycles."""

    def __init__(self, rules: Sequence[Rule]) -> None:
        self.rules = rules
        self.simulated = 0

    def simulate(self, which: NDArray[np.int64], points: Array, progress: Any = None) -> Batch:
        self.simulated += len(which)
        severities = LEAST + (1.0 - LEAST) * ndtr(points[:, :2])
        names = list(self.rules[0](points[:1], severities[:1]))
        numbers = {name: np.full(len(which), np.nan) for name in names}
        for h, rule in enumerate(self.rules):
            mine = which == h
            for name, values in rule(points[mine], severities[mine]).items():
                numbers[name][mine] = values
        return Batch(which, points, severities, numbers)


def toy_bank(
    hypotheses: Sequence[tuple[tuple[str, ...], float, Rule]],
    size: int = 3000,
    outside: float = 0.0,
    seed: int = 1,
) -> Bank:
    """A bank of toy machines: faults, weight and rule of each hypothesis."""
    found = tuple(Hypothesis(faults, weight) for faults, weight, _ in hypotheses)
    priors = Priors(found, outside, LEAST, ())
    shop = ToyShop([rule for *_, rule in hypotheses])
    which, points = spread_points(len(found), size, WIDTH, seed)
    bank = Bank(load_scenario("standard"), priors, shop.simulate(which, points), {}, seed)
    bank.__dict__["workshop"] = shop  # where the cached property would put it
    return bank


def line(middle: float, slope: float, number: str = "cycle_time") -> Rule:
    """A number on a straight line over the first unknown."""
    return lambda points, severities: {number: middle + slope * points[:, 2]}


def by_severity(middle: float, rise: float, slope: float, number: str = "cycle_time") -> Rule:
    """A number that grows with the first severity and scatters with the first unknown."""
    return lambda points, bad: {number: middle + rise * bad[:, 0] + slope * points[:, 2]}


def density(m: Measured, shown: Array, slip: float, width: float) -> Array:
    """What the likelihood of a measurement is written to be, from scipy's own distribution."""
    entry = m.measurement
    scale = np.sqrt(m.accuracy**2 + entry.model**2 + (entry.model_relative * shown) ** 2)
    return np.asarray((1.0 - slip) * t.pdf((m.value - shown) / scale, 4.0) / scale + slip / width)


def normal_grid(n: int = 4001, reach: float = 7.0) -> tuple[Array, Array]:
    """Points and weights that integrate over a standard normal distribution."""
    x = np.linspace(-reach, reach, n)
    w = np.exp(-0.5 * x * x)
    return x, w / w.sum()
