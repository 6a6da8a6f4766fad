"""Print the tables of docs/performance.md: ``python -m tests.benchmarks.report``.

All times are the best of repeated runs in one process, so that ratios mean something on a machine
that does other things as well.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable
from typing import Any

import numpy as np

from dryermodel.cycle.engine.constants import constants_of
from dryermodel.cycle.engine.equations import Drive, derivatives
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.engine.state import (
    N_STATES,
)
from dryermodel.cycle.engine.switching import N_DISCRETE
from dryermodel.cycle.run.many import as_rows, blank_outcomes, prepare, simulate_blocks, simulate_many
from dryermodel.cycle.run.rows import scratch
from dryermodel.cycle.run.simulate import run_cycle
from dryermodel.scenario.model import load_scenario
from tests.benchmarks.methods import METHODS, Method, engine_with, evaluations_of

TOLERANCES = (3e-2, 1e-2, 5e-3, 2e-3, 1e-3, 3e-4, 1e-4)
ACCURACY = 1e-3


def best(
    action: Callable[[], Any], repeats: int = 15, clock: Callable[[], float] = time.process_time
) -> float:
    """Shortest processor time of an action [s]; on another clock where several cores take part."""
    action()
    found = float("inf")
    for _ in range(repeats):
        began = clock()
        action()
        found = min(found, clock() - began)
    return found


def run_method(method: Method, rows: Any) -> Any:
    """Outcomes on an engine with another method."""
    out = blank_outcomes(len(rows))
    nothing = np.zeros(0), np.zeros(0, dtype=np.int64)
    engine_with(method)(rows, *nothing, *scratch(0), out)
    return out


def methods_table(p: Parameters, reference: float) -> dict[str, float]:
    """Every method at its loosest tolerance that meets the accuracy; seconds a cycle."""
    print("method                   tolerance  error    evaluations  cycles/s")
    found = {}
    for method in METHODS:
        for tolerance in TOLERANCES:
            q = p._replace(rel_tolerance=tolerance)
            out = run_method(method, as_rows([q]))
            error = abs(out["cycle_time_s"][0] / reference - 1.0)
            if error < ACCURACY:
                break
        evaluations = evaluations_of(method, out)[0]
        rows = as_rows([q] * 100)
        seconds = best(lambda m=method, r=rows: run_method(m, r)) / 100  # type: ignore[misc]
        found[method.name] = seconds
        print(f"{method.name:24s} {tolerance:8.0e}  {error:.1e}  {evaluations:11.0f}  {1 / seconds:8.0f}")
    return found


def right_hand_side_cost(p: Parameters) -> float:
    """Seconds a compiled evaluation takes."""
    import numba

    from dryermodel.cycle.engine import loop as engine
    from dryermodel.cycle.run.compiled import twin

    smooth = twin(derivatives, {}, error_model="numpy")
    constants = twin(constants_of, {}, error_model="numpy")
    y, s, rate = np.zeros(N_STATES), np.zeros(N_DISCRETE, dtype=np.int64), np.zeros(N_STATES)
    engine.initial_state(p, y, s)
    d = Drive(1.0, 1.0, p.firing_rate, 0.0, 0.0, 15.0, 250.0, 0.0, 0.0, 0.0, 1.0, 0.0)

    @numba.njit
    def often(count: int, y: Any, p: Any, d: Any, rate: Any) -> None:
        c = constants(p)
        for i in range(count):
            y[1] = 0.4 + 1e-9 * i
            smooth(y, p, c, d, rate)

    row = as_rows([p])[0]
    return best(lambda: often(10_000, y, row, d, rate), 50) / 10_000


def resident_megabytes() -> float:
    """Peak resident memory of this process."""
    import resource

    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return peak / (1024.0 if sys.platform.startswith("linux") else 1024.0**2)


def scaling_table(p: Parameters) -> None:
    """One core against two, and time against number of cycles."""
    rows = as_rows([p] * 4000)
    one = best(lambda: simulate_many(rows, workers=1), 5, time.perf_counter)
    two = best(lambda: simulate_many(rows, workers=2), 5, time.perf_counter)
    rates = f"one core {4000 / one:.0f}/s, two {4000 / two:.0f}/s, ratio {one / two:.2f}"
    print(f"4000 cycles at {p.rel_tolerance:g}: {rates}")
    for count in (1_000, 10_000, 100_000):
        began = time.perf_counter()
        done = sum(len(block) for block in simulate_blocks((p for _ in range(count)), workers=2))
        spent = time.perf_counter() - began
        print(
            f"{done} cycles: {spent:.2f} s, {spent / done * 1e6:.0f} us each, {resident_megabytes():.0f} MB"
        )


def main() -> None:
    """Print everything."""
    prepare()
    p = load_scenario("standard").to_parameters()
    reference = run_cycle(p._replace(rel_tolerance=1e-8)).cycle_time
    print(f"{os.cpu_count()} cores; reference cycle time {reference:.4f} s")
    scaling_table(p)
    print()
    methods_table(p, reference)
    cost = right_hand_side_cost(p)
    print(f"compiled right-hand side: {cost * 1e9:.0f} ns")
    interpreted = best(lambda: run_cycle(p._replace(rel_tolerance=5e-3)), 10)
    print(f"our engine interpreted at 5e-3: {interpreted * 1e3:.1f} ms")


if __name__ == "__main__":
    main()
