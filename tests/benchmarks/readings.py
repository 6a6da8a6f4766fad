"""What the readings of a run cost: ``python -m tests.benchmarks.readings [cycles]``.

The same cycles on the engine as it is and on one whose gauges read nothing but what ends a run, in turns;
processor time, one core, the best of the turns.
"""

from __future__ import annotations

import sys
import time
from typing import Any

import numpy as np

from dryermodel.cycle.engine import gauges
from dryermodel.cycle.run.many import blank_outcomes
from dryermodel.cycle.run.rows import scratch
from tests.benchmarks.accuracy import machines
from tests.benchmarks.methods import METHODS, Method, engine_with

SCENARIOS = ("standard", "long_vent")
TURNS = 3
MACHINES = 5000
"""Different machines; more cycles are the same ones again."""


def no_look_back(cause: int, t: float, p: Any, c: Any, d: Any, w: Any, out: Any) -> None:
    """Read nothing."""


def no_compare(cause: int, t: float, before: Any, p: Any, c: Any, d: Any, w: Any, out: Any) -> None:
    """Read nothing."""


def no_look_ahead(p: Any, d: Any, w: Any, out: Any) -> None:
    """Read nothing."""


def no_marks(until: float, w: Any) -> None:
    """Read nothing."""


def no_finish(t: float, d: Any, w: Any, out: Any) -> None:
    """Read nothing."""


BARE = Method(
    "no readings",
    6,
    (
        (gauges.look_back, no_look_back),
        (gauges.compare, no_compare),
        (gauges.look_ahead, no_look_ahead),
        (gauges.pass_marks, no_marks),
        (gauges.finish, no_finish),
    ),
)


def seconds(method: Method, rows: Any) -> float:
    """Processor time of one turn [s]."""
    nothing, out = (np.zeros(0), np.zeros(0, dtype=np.int64)), blank_outcomes(len(rows))
    began = time.process_time()
    engine_with(method)(rows, *nothing, *scratch(0), out)
    return time.process_time() - began


def main(cycles: int) -> None:
    """Print both times and their ratio."""
    for name in SCENARIOS:
        rows = np.resize(machines(name, min(cycles, MACHINES)), cycles)
        best: dict[str, float] = {}
        for method in (METHODS[0], BARE) * TURNS:
            best[method.name] = min(best.get(method.name, np.inf), seconds(method, rows))
        usual, bare = best[METHODS[0].name], best[BARE.name]
        ratio = usual / bare
        print(f"{name}: {cycles} cycles, all readings {usual:.2f} s, without {bare:.2f} s: {ratio:.3f}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 20_000)
