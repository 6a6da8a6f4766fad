"""Cycles a second of the engine in JavaScript: ``python -m tests.benchmarks.javascript``.

Under Node, on one core, next to the compiled engine on one core in the same minute; cycles at
tolerance 1e-5 with a different moisture each time, the best of repeated batches.
"""

from __future__ import annotations

import json
import sys
import time

import numpy as np

from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.run.javascript import engine_javascript
from dryermodel.cycle.run.many import as_rows, prepare, run_block
from dryermodel.scenario.model import load_scenario
from tests.cycle.node import NODE, run_node

BATCH, REPEATS, TOLERANCE = 20, 30, 1e-5

_TIME = """
const given = JSON.parse(require("fs").readFileSync(0, "utf8"));
let best = Infinity;
for (let i = 0; i < REPEATS; i += 1) {
  const began = performance.now();
  for (const p of given) dryerEngine.runCycle(p);
  best = Math.min(best, performance.now() - began);
}
console.log((1e3 * given.length) / best);
"""


def machines() -> list[Parameters]:
    """The standard machine with loads of different moisture."""
    p = load_scenario("standard").to_parameters()._replace(rel_tolerance=TOLERANCE)
    return [p._replace(piece_moisture=(0.4 + 0.01 * i, 0.0, 0.0, 0.0)) for i in range(BATCH)]


def in_node() -> float:
    """Cycles a second under Node."""
    given = json.dumps([p._asdict() for p in machines()])
    return float(run_node(engine_javascript() + _TIME.replace("REPEATS", str(REPEATS)), given))


def compiled_here() -> float:
    """Cycles a second of the compiled engine on one core."""
    prepare()
    rows, best = as_rows(machines()), float("inf")
    for _ in range(REPEATS):
        began = time.perf_counter()
        run_block(rows, np.zeros(0), np.zeros(0, dtype=np.int64))
        best = min(best, time.perf_counter() - began)
    return len(rows) / best


if __name__ == "__main__":
    if NODE is None:
        sys.exit("node is not on the PATH")
    print(f"JavaScript file: {len(engine_javascript()) / 1e3:.0f} kB")
    print(f"Node:     {in_node():5.0f} cycles/s at tolerance {TOLERANCE}")
    print(f"compiled: {compiled_here():5.0f} cycles/s at tolerance {TOLERANCE}")
