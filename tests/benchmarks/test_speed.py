"""Speed of many cycles, ours and others', side by side: ``pytest tests/benchmarks --benchmark-enable -n 0``.

What is asserted is accuracy, which does not depend on the machine; times are for the table. Every
contestant must meet the same accuracy: cycle time within 0.1 % of a tight-tolerance reference.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.run.many import BLOCK, as_rows, blank_outcomes, run_block, simulate_many
from dryermodel.cycle.run.rows import scratch
from dryermodel.cycle.run.simulate import run_cycle
from dryermodel.scenario.model import load_scenario
from tests.benchmarks.contest import contestants
from tests.benchmarks.lanes import LOADS, machines
from tests.benchmarks.methods import METHODS, Method, engine_with

ACCURACY = 1e-3
CYCLES = 200

Timer = Callable[..., Any]


@pytest.fixture(scope="module")
def standard() -> Parameters:
    return load_scenario("standard").to_parameters()


@pytest.fixture(scope="module")
def reference(standard: Parameters) -> float:
    return run_cycle(standard._replace(rel_tolerance=1e-8)).cycle_time


def rows_of(p: Parameters, tolerance: float, count: int = CYCLES) -> np.ndarray[Any, Any]:
    return as_rows([p._replace(rel_tolerance=tolerance)] * count)


@pytest.mark.parametrize("workers", [1, 2])
def test_many_cycles(benchmark: Timer, standard: Parameters, reference: float, workers: int) -> None:
    """The library's own: 2000 cycles, on one core and on two."""
    rows = rows_of(standard, 1e-3, 4 * BLOCK)
    out = benchmark(simulate_many, rows, workers=workers)
    assert abs(out["cycle_time_s"] / reference - 1.0).max() < ACCURACY


@pytest.mark.parametrize("abreast", [False, True], ids=["one by one", "abreast"])
@pytest.mark.parametrize("name", list(LOADS.values()))
def test_engines(benchmark: Timer, name: str, abreast: bool) -> None:
    """Unlike machines one after another and abreast, with one kind of cloth and with three, on one core."""
    nothing = np.zeros(0), np.zeros(0, dtype=np.int64)
    out = benchmark(run_block, machines(name, CYCLES, 1e-4), *nothing, abreast)
    exact = run_block(machines(name, CYCLES, 1e-7), *nothing, False)
    assert (abs(out["cycle_time_s"] / exact["cycle_time_s"] - 1.0) < ACCURACY).mean() > 0.99


# Tolerances: the loosest of 3e-2, 1e-2, 5e-3, 2e-3, 1e-3, 3e-4 that meets the accuracy, each method.
LOOSEST = {
    "Bogacki-Shampine 3(2)": 5e-3,
    "Heun 2(1)": 3e-2,
    "Dormand-Prince 5(4)": 3e-2,
    "Dormand-Prince 5(4), cubic": 3e-2,
    "Tsitouras 5(4)": 1e-2,
}


@pytest.mark.parametrize("method", METHODS, ids=lambda m: m.name)
def test_methods(benchmark: Timer, standard: Parameters, reference: float, method: Method) -> None:
    """Integration methods in the same engine."""
    run = engine_with(method)
    rows, out = rows_of(standard, LOOSEST[method.name]), blank_outcomes(CYCLES)
    nothing = np.zeros(0), np.zeros(0, dtype=np.int64)
    benchmark(run, rows, *nothing, *scratch(0), out)
    durations = out["cycle_time_s"]
    assert abs(durations / reference - 1.0).max() < ACCURACY


@pytest.mark.parametrize("name", list(contestants()))
def test_contestants(benchmark: Timer, standard: Parameters, reference: float, name: str) -> None:
    """Ours and general-purpose integrators, whichever are installed, at a tolerance that is enough."""
    found = benchmark(contestants()[name], [standard], 1e-5)
    assert abs(found[0, 0] / reference - 1.0) < ACCURACY
    assert 200 < found[0, 1] < 20_000


def test_one_interpreted_cycle(benchmark: Timer, standard: Parameters, reference: float) -> None:
    """The library's single run, which compiles nothing."""
    result = benchmark(run_cycle, standard)
    assert abs(result.cycle_time / reference - 1.0) < 1e-5
