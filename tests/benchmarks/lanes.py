"""Machines abreast, in speed: ``python -m tests.benchmarks.lanes [machines]``.

Unlike machines from the whole of every uncertain value's range, with one kind of cloth and with three, on the
engine that takes one after another and on the one that runs them abreast, in turns; processor time of one
core, the best of several. Then the same on one core and on two, by the clock.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from functools import partial
from typing import Any

import llvmlite.binding
import numpy as np
from numpy.typing import NDArray

from dryermodel.cycle.run.lanes.engine import numbers_of
from dryermodel.cycle.run.lanes.rows import scratch
from dryermodel.cycle.run.lanes.values import WIDTH
from dryermodel.cycle.run.many import ABREAST, as_rows, blank_outcomes, prepare, run_block, simulate_many
from dryermodel.scenario.model import load_scenario
from dryermodel.studies.uncertainty.spread import draw
from dryermodel.studies.uncertainty.uncertain import uncertain_of

LOADS = {"one kind of cloth": "standard", "three kinds": "family_load"}
TOLERANCES = (1e-3, 1e-4, 1e-5)
REPEATS = 5

Rows = NDArray[np.void]


def machines(name: str, count: int, tolerance: float) -> Rows:
    """Unlike machines around a scenario."""
    scenario = load_scenario(name)
    found = draw(scenario, count, seed=3, uncertain=uncertain_of(scenario)).parameters
    return as_rows(p._replace(rel_tolerance=tolerance) for p in found)


def best(actions: list[Callable[[], Any]], clock: Callable[[], float]) -> list[float]:
    """Shortest time of each action [s], taken in turns."""
    found = [float("inf")] * len(actions)
    for _ in range(REPEATS):
        for i, action in enumerate(actions):
            began = clock()
            action()
            found[i] = min(found[i], clock() - began)
    return found


def lane_use(rows: Rows) -> float:
    """Share of the lanes that do work in a step, in the mean."""
    room, out = scratch(), blank_outcomes(len(rows))
    prepare(ABREAST)(rows, numbers_of(rows), np.zeros(0), np.zeros(0, dtype=np.int64), room, out)
    return float((out["steps"] + out["rejected_steps"]).sum() / (WIDTH * room.desk.strides[0]))


def one_core(count: int) -> None:
    """The two engines on one core."""
    nothing = np.zeros(0), np.zeros(0, dtype=np.int64)
    print("| load | tolerance | one by one, cycles/s | abreast, cycles/s | times | lane use |")
    print("|---|---|---|---|---|---|")
    for load, name in LOADS.items():
        for tolerance in TOLERANCES:
            rows = machines(name, count, tolerance)
            one, many = best(
                [partial(run_block, rows, *nothing, abreast) for abreast in (False, True)],
                time.process_time,
            )
            rates = f"{count / one:.0f} | {count / many:.0f} | {one / many:.2f}"
            print(f"| {load} | {tolerance:.0e} | {rates} | {lane_use(rows):.0%} |", flush=True)


def two_cores(count: int) -> None:
    """One core and two, by the clock: what else the machine does counts."""
    rows = np.tile(machines("family_load", count, 1e-4), 4)
    one, two = best([partial(simulate_many, rows, workers=n) for n in (1, 2)], time.perf_counter)
    print(f"two cores: {len(rows) / one:.0f} and {len(rows) / two:.0f} cycles/s, {one / two:.2f} times")


def main(count: int) -> None:
    """Print the tables."""
    features = llvmlite.binding.get_host_cpu_features()
    kinds = [name for name in ("avx512f", "avx2", "sse2") if features.get(name)]
    print(f"{llvmlite.binding.get_host_cpu_name()}: {', '.join(kinds)}")
    one_core(count)
    two_cores(count)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
