"""What stands around the engine of many cycles, part by part: ``python -m tests.benchmarks.around 20000``.

Processor time of one core for each part of a sweep into a CSV file and of a bank drawn from nothing, rows
made one by one beside them; then the whole sweep with one worker and with two, in turns.
"""

from __future__ import annotations

import sys
import time
from collections import defaultdict
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any
from unittest.mock import patch

import numpy as np
import pandas as pd

from dryermodel.cycle.run import many
from dryermodel.cycle.run.many import BLOCK, as_rows, in_order, parameters_of, prepare_many, run_block
from dryermodel.inference.bank import SIZE, Workshop, spread_points
from dryermodel.inference.numbers import Machines, numbers_of
from dryermodel.inference.priors import priors_of
from dryermodel.readings.collar import at_collar
from dryermodel.readings.collars import at_collars
from dryermodel.scenario.model import load_scenario
from dryermodel.studies.sweep.files import sweep_to_file
from dryermodel.studies.sweep.frame import csv_text, frame_of, records_of, tally
from dryermodel.studies.sweep.plan import Block, Sweep, plan_sweep

VARY = ("vent.length=5:60 ft", "load.dry_mass=3:12 lb", "room.temperature=50:90 degF",
        "faults.vent_blockage=severity 0:0.9")  # fmt: skip
TURNS = 3

Times = defaultdict[str, float]


def timed(times: Times, part: str, function: Callable[..., Any], *arguments: Any) -> Any:
    """Call a function and add its processor time to a part's."""
    began = time.process_time()
    found = function(*arguments)
    times[part] += time.process_time() - began
    return found


def sweep_parts(sweep: Sweep) -> Times:
    """Processor time of each part of a sweep [s]."""
    times: Times = defaultdict(float)
    plan, kept = in_order(()), []
    for first in range(0, sweep.size, BLOCK):
        points = timed(times, "points", sweep.design.points, first, min(first + BLOCK, sweep.size))
        timed(times, "rows, one by one", lambda points=points: as_rows(map(sweep.maker, points.tolist())))
        rows = timed(times, "rows", sweep.maker.rows, points)
        out = timed(times, "engine", run_block, rows, *plan)
        kept.append(timed(times, "records", records_of, sweep, Block(first, points, rows, out)))
    frame = timed(times, "table", frame_of, np.concatenate(kept))
    timed(times, "least and greatest", tally, [frame])
    timed(times, "CSV", csv_text, frame)
    return times


def bank_parts() -> tuple[int, Times]:
    """Machines of a bank drawn from nothing, and processor time of each part without the engine [s]."""
    times: Times = defaultdict(float)
    scenario = load_scenario("standard")
    priors = priors_of(scenario)
    shop = Workshop(scenario, priors)
    width = shop.drawer.width
    which, points = timed(times, "points", spread_points, len(priors.hypotheses), SIZE, width, 1)
    made: list[np.ndarray[Any, np.dtype[np.void]]] = []
    timed(times, "rows", lambda: list(shop._rows_of(which, points, made)))
    rows = np.concatenate(made)
    at_collars(rows)  # compiled
    out = timed(times, "engine", run_block, rows[:2000], *in_order(()))
    times["engine"] *= len(rows) / 2000
    ones = np.ones(len(rows))
    machines = Machines(rows, np.resize(out, len(rows)), ones, ones, ones)
    timed(times, "numbers", numbers_of, machines, shop.healthy, 1.0, 1.0)
    timed(times, "collars, one by one", lambda: [at_collar(parameters_of(row)) for row in rows[:2000]])
    times["collars, one by one"] *= len(rows) / 2000
    return len(rows), times


def told(title: str, count: int, times: Times) -> None:
    """Print microseconds a point by part."""
    print(f"{title}, {count} points, us each: ", end="")
    print(", ".join(f"{part} {1e6 * spent / count:.1f}" for part, spent in times.items()))


def wall(sweep: Sweep, workers: int) -> float:
    """Wall time of the whole sweep into a file [s]."""
    with patch.object(many, "cpu_count", return_value=workers), TemporaryDirectory() as folder:
        began = time.perf_counter()
        sweep_to_file(sweep, Path(folder) / "sweep.csv")
        return time.perf_counter() - began


def main(count: int) -> None:
    """Print everything."""
    prepare_many()
    pd.DataFrame({"a": [1.0]}).to_string()  # imported
    sweep = plan_sweep(load_scenario("standard"), VARY, sobol=count, seed=1)
    told("sweep", count, sweep_parts(sweep))
    told("bank", *bank_parts())
    best = {1: np.inf, 2: np.inf}
    for _ in range(TURNS):
        for workers in best:
            best[workers] = min(best[workers], wall(sweep, workers))
    print(f"sweep into CSV: one worker {best[1]:.2f} s, two {best[2]:.2f} s, ratio {best[1] / best[2]:.2f}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 20_000)
