"""A bank of simulated machines: drawn once from the priors of a scenario, and kept.

Every hypothesis gets the same number of machines, so that a rare fault is as well known as a common one;
how often it is met comes in with its weight.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from dryermodel.cycle.run.many import BLOCK, as_rows, simulate_blocks, simulate_many
from dryermodel.inference.draws import TOLERANCE, Drawer
from dryermodel.inference.likelihood import number_of
from dryermodel.inference.numbers import Machines, numbers_of
from dryermodel.inference.priors import Hypothesis, Priors
from dryermodel.scenario.convert import manifold_pressure
from dryermodel.scenario.faults import find_fault
from dryermodel.studies.sweep.design import draw as next_points
from dryermodel.studies.sweep.design import sobol_sequence

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from dryermodel.scenario.model import Scenario

    Array = NDArray[np.float64]

SIZE = 24_000
"""Machines in a bank unless asked for otherwise."""

LONGEST = 10_800.0
"""Time [s] at which the bank's endless cycles are given up: nobody waits longer to call a dryer endless."""

GAS_LOWERED = ("weak_burner", "low_supply_pressure")
"""Faults that a manometer at the manifold shows."""

SUPPLY_LOWERED = "low_supply_pressure"
GAS_OFF = "gas_shut_off"


@dataclass(frozen=True)
class Batch:
    """Machines drawn and simulated together.

    Attributes
    ----------
    which : ndarray of int, shape (n,)
        Hypothesis of each.
    points : ndarray, shape (n, width)
        Standard normal numbers behind each; see :class:`~dryermodel.inference.draws.Drawer`.
    severities : ndarray, shape (n, 2)
        How bad its first and second fault are [1].
    numbers : mapping of str to ndarray, shape (n,)
        Everything that evidence is held against [SI].
    """

    which: NDArray[np.int64]
    points: Array
    severities: Array
    numbers: Mapping[str, Array]

    def __len__(self) -> int:
        """Machines in it."""
        return len(self.which)


@dataclass(frozen=True)
class Bank:
    """Machines from the priors, and what makes more of them."""

    scenario: Scenario
    priors: Priors
    batch: Batch
    healthy: Mapping[str, float]  # numbers of the scenario's own healthy machine
    seed: int

    @cached_property
    def workshop(self) -> Workshop:
        """What simulates more machines of this kind."""
        return Workshop(self.scenario, self.priors, self.healthy)

    @property
    def hypotheses(self) -> tuple[Hypothesis, ...]:
        """What may be wrong."""
        return self.priors.hypotheses

    @property
    def healthy_hypothesis(self) -> int:
        """Number of the hypothesis without a fault."""
        return next(i for i, h in enumerate(self.hypotheses) if not h.faults)

    @cached_property
    def _ends(self) -> dict[str, tuple[float, ...]]:
        return {}

    def ends(self, number: str) -> tuple[float, ...]:
        """Where nearly all its machines (1 to 99 %) are by a number [SI]; empty if none has it."""
        if number not in self._ends:
            values = number_of(self.batch.numbers, number)
            known = values[np.isfinite(values)]
            quantiles = np.quantile(known, [0.01, 0.99]) if len(known) else ()
            self._ends[number] = tuple(float(q) for q in quantiles)
        return self._ends[number]

    @cached_property
    def counts(self) -> NDArray[np.int64]:
        """Machines of each hypothesis."""
        return np.bincount(self.batch.which, minlength=len(self.hypotheses))


class Workshop:
    """Simulates machines of given hypotheses at given points."""

    def __init__(
        self, scenario: Scenario, priors: Priors, healthy: Mapping[str, float] | None = None
    ) -> None:
        self.drawer = Drawer(scenario, priors)
        self.hypotheses = priors.hypotheses
        self._plan = scenario.interruptions()
        self._pressures = pressures_of(self.drawer.healthy)
        self.healthy = healthy or self._healthy()

    def _healthy(self) -> Mapping[str, float]:
        p = self.drawer.healthy.to_parameters()._replace(rel_tolerance=TOLERANCE)
        rows = as_rows([p])
        out = simulate_many(rows, interruptions=self._plan)
        machines = Machines(rows, out, np.ones(1), np.ones(1), np.ones(1))
        return {name: float(v[0]) for name, v in numbers_of(machines, None, *self._pressures).items()}

    def simulate(
        self,
        which: NDArray[np.int64],
        points: Array,
        progress: Callable[[int, int], None] | None = None,
    ) -> Batch:
        """Return the machines of these hypotheses and points, simulated."""
        done: list[NDArray[np.void]] = []
        rows: list[NDArray[np.void]] = []
        for block in simulate_blocks(self._rows_of(which, points, rows), interruptions=self._plan):
            done.append(block)
            if progress is not None:
                progress(sum(map(len, done)), len(which))
        severities = self.drawer.severities(points)
        gas = gas_of(self.hypotheses, which, severities)
        machines = Machines(np.concatenate(rows), np.concatenate(done), *gas)
        return Batch(which, points, severities, numbers_of(machines, self.healthy, *self._pressures))

    def _rows_of(
        self, which: NDArray[np.int64], points: Array, kept: list[NDArray[np.void]]
    ) -> Iterator[NDArray[np.void]]:
        """Rows block by block, each kept on the way: they are made while others run."""
        for start in range(0, len(which), BLOCK):
            part = slice(start, start + BLOCK)
            block = self.drawer.rows(self.hypotheses, which[part], points[part])
            block["time_limit"] = np.minimum(block["time_limit"], LONGEST)
            kept.append(block)
            yield block


def pressures_of(scenario: Scenario) -> tuple[float, float]:
    """Manifold and supply pressure of the sound machine [Pa]."""
    return manifold_pressure(scenario.model), float(scenario.model.gas.supply_pressure)


def gas_of(
    hypotheses: Sequence[Hypothesis], which: NDArray[np.int64], severities: Array
) -> tuple[Array, Array, Array]:
    """Shares of the sound manifold pressure that arrive and that the supply leaves; 0 where no gas comes."""
    manifold, left, supplied = np.ones(len(which)), np.ones(len(which)), np.ones(len(which))
    for number, h in enumerate(hypotheses):
        mine = np.flatnonzero(which == number)
        if GAS_OFF in h.faults:
            supplied[mine] = 0.0
        for place, key in enumerate(h.faults):
            if key in GAS_LOWERED:
                fault = find_fault(key)
                amounts = np.array([fault.amount(s) for s in severities[mine, place]])
                manifold[mine] *= amounts if key == SUPPLY_LOWERED else amounts**2
                left[mine] *= amounts if key == SUPPLY_LOWERED else 1.0
    return manifold, left, supplied


def draw(
    scenario: Scenario,
    priors: Priors,
    size: int = SIZE,
    seed: int = 1,
    progress: Callable[[int, int], None] | None = None,
) -> Bank:
    """Draw and simulate a bank.

    Parameters
    ----------
    scenario : Scenario
        The machine; faults of its own are left out.
    priors : Priors
        What may be wrong with it, and what is unknown.
    size : int
        Machines, shared out among the hypotheses.
    seed : int
        Of the draw.
    progress : callable, optional
        Told how many cycles are done, and of how many.
    """
    shop = Workshop(scenario, priors)
    which, points = spread_points(len(priors.hypotheses), size, shop.drawer.width, seed)
    batch = shop.simulate(which, points, progress)
    return Bank(scenario, priors, batch, shop.healthy, seed)


def spread_points(hypotheses: int, size: int, width: int, seed: int) -> tuple[NDArray[np.int64], Array]:
    """Hypotheses and standard normal points of a bank: each has scrambled Sobol points of its own.

    Points of one sequence dealt out in turn would be spread worse than random ones.
    """
    from scipy.special import ndtri

    each = max(1, size // hypotheses)
    sequences = (sobol_sequence(width, seed * hypotheses + h) for h in range(hypotheses))
    uniform = np.concatenate([next_points(sequence, each) for sequence in sequences])
    points = ndtri(np.clip(uniform, 1e-9, 1.0 - 1e-9))
    return np.repeat(np.arange(hypotheses, dtype=np.int64), each), np.asarray(points)
