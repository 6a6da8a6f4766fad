"""How far many-run results lie from exact ones: ``python -m tests.benchmarks.accuracy [machines]``.

Machines are drawn from the whole of every range of ``ranges.toml`` around each shipped scenario. A miss is
a cycle time further than 0.1 % from that of the same machine at a tolerance of 1e-8. The time of a method is
processor time, one core, over all machines.
"""

from __future__ import annotations

import sys
import time
from typing import Any

import numpy as np

from dryermodel.cycle.run.many import as_rows, blank_outcomes
from dryermodel.cycle.run.rows import scratch
from dryermodel.scenario.files import shipped_scenarios
from dryermodel.scenario.model import load_scenario
from dryermodel.studies.uncertainty.spread import draw
from dryermodel.studies.uncertainty.uncertain import uncertain_of
from tests.benchmarks.methods import METHODS, Method, engine_with, evaluations_of

MISS = 1e-3
REFERENCE = 1e-8
TRIED = {
    "Dormand-Prince 5(4)": (1e-3, 3e-4, 1e-4, 3e-5),
    "Tsitouras 5(4)": (1e-3, 3e-4, 1e-4),
    "Dormand-Prince 5(4), cubic": (1e-3, 1e-4),
    "Bogacki-Shampine 3(2)": (1e-3, 1e-4, 1e-5),
}


def machines(name: str, n: int) -> Any:
    """Rows of `n` machines around a scenario."""
    scenario = load_scenario(name)
    return as_rows(draw(scenario, n, seed=2026, uncertain=uncertain_of(scenario)).parameters)


def outcomes_at(method: Method, rows: Any, tolerance: float) -> tuple[Any, float]:
    """Outcomes of machines with a method at a tolerance, and the processor time a machine [s]."""
    rows = rows.copy()
    rows["rel_tolerance"] = tolerance
    out, engine = blank_outcomes(len(rows)), engine_with(method)
    nothing = np.zeros(0), np.zeros(0, dtype=np.int64)
    engine(rows[:1].copy(), *nothing, *scratch(0), blank_outcomes(1))
    began = time.process_time()
    engine(rows, *nothing, *scratch(0), out)
    return out, (time.process_time() - began) / len(rows)


def main(n: int) -> None:
    """Print the table."""
    names = shipped_scenarios()
    drawn = {name: machines(name, n) for name in names}
    exact = {
        name: outcomes_at(METHODS[0], rows, REFERENCE)[0]["cycle_time_s"] for name, rows in drawn.items()
    }
    print(f"| method | tolerance | {' | '.join(names)} | worst | evaluations | us a cycle |")
    print("|---|---|" + "---|" * (len(names) + 3))
    for method in METHODS:
        for tolerance in TRIED.get(method.name, ()):
            misses, evaluations, seconds = [], [], []
            for name, rows in drawn.items():
                out, each = outcomes_at(method, rows, tolerance)
                off = np.abs(out["cycle_time_s"] / exact[name] - 1.0)
                misses.append(100.0 * float(np.mean(off > MISS)))
                evaluations.append(float(np.mean(evaluations_of(method, out))))
                seconds.append(each)
            shown = " | ".join(f"{m:.2f} %" for m in misses)
            print(
                f"| {method.name} | {tolerance:.0e} | {shown} | {max(misses):.2f} % "
                f"| {np.mean(evaluations):.0f} | {1e6 * np.mean(seconds):.0f} |",
                flush=True,
            )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
