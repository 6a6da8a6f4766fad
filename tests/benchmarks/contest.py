"""Ours against the strongest others, at an accuracy a user gets: ``python -m tests.benchmarks.contest``.

Two hundred machines from the whole of every uncertain value's range around the standard scenario. Each
contestant runs at the loosest of its tolerances at which at most one of them misses 0.1 % of its cycle
time, as the library's engine finds it at 1e-8; on one core, in processor time. Calls of the right-hand
side are counted in the function itself, so that those for a Jacobian by differences are among them.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from functools import partial
from importlib.util import find_spec
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.run.many import as_rows, run_block
from dryermodel.scenario.model import load_scenario
from dryermodel.studies.uncertainty.spread import draw
from dryermodel.studies.uncertainty.uncertain import uncertain_of
from tests.benchmarks.opponents import with_cvode, with_cyrk, with_solve_ivp
from tests.benchmarks.sundials import library_file, with_compiled_cvode

MACHINES, SEED, ACCURACY, MISSES = 200, 3, 1e-3, 1
CHUNK, REPEATS = 10, 5
TOLERANCES = (1e-2, 3e-3, 1e-3, 3e-4, 1e-4, 3e-5, 1e-5)
OURS, ONE_BY_ONE = "ours, abreast", "ours, one after another"

Result = NDArray[np.float64]  # (n, 2): cycle time [s], calls
Contestant = Callable[[list[Parameters], float], Result]


class Score(NamedTuple):
    """How a contestant did at the tolerance it needs; NaN when none of those tried was enough."""

    name: str
    tolerance: float
    misses: int
    calls: float
    rate: float  # cycles a second


def ours(machines: list[Parameters], tolerance: float, abreast: bool = True) -> Result:
    """The library's engine on one core."""
    rows = as_rows(p._replace(rel_tolerance=tolerance) for p in machines)
    out = run_block(rows, np.zeros(0), np.zeros(0, dtype=np.int64), abreast)
    return np.column_stack([out["cycle_time_s"], out["evaluations"]])


def one_by_one(cycle: Any, method: str, machines: list[Parameters], rtol: float) -> Result:
    """An opponent that is driven from Python."""
    return np.array([cycle(p, method, rtol) for p in machines])


def contestants() -> dict[str, Contestant]:
    """All that are installed."""
    found: dict[str, Contestant] = {
        OURS: ours,
        ONE_BY_ONE: partial(ours, abreast=False),
        "CVODE BDF, scikit-sundae": partial(one_by_one, with_cvode, "BDF"),
        "CVODE Adams, scikit-sundae": partial(one_by_one, with_cvode, "Adams"),
    }
    if library_file("cvode"):
        found["CVODE Adams, fixed point, from compiled code"] = with_compiled_cvode
    for method in ("RK23", "RK45", "LSODA"):
        found[f"scipy solve_ivp {method}"] = partial(one_by_one, with_solve_ivp, method)
    if find_spec("CyRK"):
        for method in ("RK23", "RK45", "Tsit5"):
            found[f"CyRK {method}"] = partial(one_by_one, with_cyrk, method)
    return found


def drawn() -> list[Parameters]:
    """The machines."""
    scenario = load_scenario("standard")
    return list(draw(scenario, MACHINES, seed=SEED, uncertain=uncertain_of(scenario)).parameters)


def score(name: str, run: Contestant, machines: list[Parameters], reference: Result) -> Score:
    """Find the tolerance that a contestant needs, and time it there."""
    for tolerance in TOLERANCES:
        found = run(machines, tolerance)
        misses = int((np.abs(found[:, 0] / reference - 1.0) > ACCURACY).sum())
        if misses <= MISSES:
            chunk = MACHINES if name == OURS else CHUNK
            rate = len(machines) / seconds_of(run, machines, tolerance, chunk)
            return Score(name, tolerance, misses, float(found[:, 1].mean()), rate)
    return Score(name, float("nan"), misses, float(found[:, 1].mean()), float("nan"))


def seconds_of(run: Contestant, machines: list[Parameters], tolerance: float, chunk: int) -> float:
    """Processor time of all machines [s]: so many at a time, the best of several, so that little disturbs.

    Machines abreast are taken all at once: of few, the last would run with most lanes idle.
    """
    total = 0.0
    for first in range(0, len(machines), chunk):
        some = machines[first : first + chunk]
        total += min(_processor_time(run, some, tolerance) for _ in range(REPEATS))
    return total


def _processor_time(run: Contestant, machines: list[Parameters], tolerance: float) -> float:
    began = time.thread_time()
    run(machines, tolerance)
    return time.thread_time() - began


def main() -> None:
    """Print the table, fastest first."""
    machines = drawn()
    reference = ours(machines, 1e-8)[:, 0]
    scores = []
    for name, run in contestants().items():
        scores.append(score(name, run, machines, reference))
        print(".", end="", file=sys.stderr, flush=True)
    mine = next(s for s in scores if s.name == OURS)
    print("| contestant | tolerance | misses of 200 | calls a cycle | cycles/s | ours is faster by |")
    print("|---|---|---|---|---|---|")
    for s in sorted(scores, key=lambda s: -np.nan_to_num(s.rate)):
        times = mine.rate / s.rate
        print(f"| {s.name} | {s.tolerance:.0e} | {s.misses} | {s.calls:.0f} | {s.rate:.0f} | {times:.2g} |")


if __name__ == "__main__":
    main()
