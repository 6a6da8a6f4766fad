"""Machines abreast against one after another: ``python -m tests.benchmarks.abreast 100000 [seed]``.

Machines are put together from parts of admissible scenarios drawn at random: room, load, burner, air side,
drum, motor, thermostats and controls each from another one. Both engines run every one of them; the table
says how often ends and counts are the same, and how far the readings are apart where they are.
"""

from __future__ import annotations

import sys
import time
from typing import Any

import numpy as np
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import seed as seeded
from numpy.typing import NDArray

from dryermodel.cycle.engine.outcome import OUTCOMES
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.run.many import as_rows, run_block
from dryermodel.errors import InputError
from dryermodel.scenario import convert
from dryermodel.scenario.files import Layer
from dryermodel.scenario.merge import merge
from tests.strategies import scenarios

FIRST_OF_PART = (
    "room_temp",
    "dry_mass",
    "heat_source",
    "fan_dead_head",
    "vent_diameter",
    "transfer_base",
    "drum_heat_capacity",
    "line_voltage",
    "igniter_warm_up",
    "cut_out",
    "program",
)
"""Fields of the parameters with which a part begins; what must fit together is in one part."""

LENGTH = 5400.0
"""Longest run [s]; what differs shows early, and a machine that goes on for ever costs time."""

WORK = ("evaluations", "steps", "rejected_steps")
"""What rounding may change by much: a step at the edge of its tolerance is taken or not."""

COUNTS = ("end_code", "burner_cycles", "high_limit_trips", "ignition_tries", "cut_outs")
"""What is the same or is not."""

LIGHTEST = 1.0
"""Lightest load [kg]: a few grams of one kind of cloth ask for millions of steps, with either engine; of such
machines two thousand were run, and ends and counts were the same in all."""

BLOCK = 1000


def pool(count: int, seed: int) -> NDArray[np.void]:
    """Parameters of admissible scenarios drawn at random."""
    found: list[Parameters] = []

    @seeded(seed)
    @settings(
        max_examples=count,
        database=None,
        deadline=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(scenarios(skip=("controls.rel_tolerance",)))
    def collect(raw: Any) -> None:
        try:
            found.append(convert.to_parameters(merge([Layer("drawn", raw)]).model))
        except InputError:
            return

    collect()
    rows = as_rows(found)
    return rows[rows["dry_mass"] >= LIGHTEST]


def mixed(parts: NDArray[np.void], count: int, rng: np.random.Generator) -> NDArray[np.void]:
    """Machines of which each part is that of a random one of a pool."""
    rows = np.zeros(count, parts.dtype)
    names = list(Parameters._fields)
    starts = [names.index(name) for name in FIRST_OF_PART]
    for start, end in zip(starts, [*starts[1:], len(names)], strict=True):
        taken = rng.integers(len(parts), size=count)
        for name in names[start:end]:
            rows[name] = parts[name][taken]
    rows["time_limit"] = np.minimum(rows["time_limit"], LENGTH)
    return rows


def apart(one: NDArray[np.void], other: NDArray[np.void], name: str) -> NDArray[np.float64]:
    """Difference of a reading, relative to its size or to 1e-3; infinite where only one has it."""
    a, b = one[name], other[name]
    gap = np.abs(a - b) / np.maximum(np.abs(a), 1e-3)
    return np.where(np.isnan(a) & np.isnan(b), 0.0, np.where(np.isnan(gap), np.inf, gap))


def both(rows: NDArray[np.void]) -> tuple[NDArray[np.void], NDArray[np.void], float, float]:
    """Outcomes one after another and abreast, and the processor time [s] of each."""
    nothing = np.zeros(0), np.zeros(0, dtype=np.int64)
    found, spent = [], []
    for abreast in (False, True):
        began = time.process_time()
        found.append(
            np.concatenate(
                [
                    run_block(rows[i : i + BLOCK], *nothing, abreast=abreast)
                    for i in range(0, len(rows), BLOCK)
                ]
            )
        )
        spent.append(time.process_time() - began)
    return found[0], found[1], spent[0], spent[1]


def main(count: int, seed: int) -> None:
    """Draw, run and print the table."""
    rng = np.random.default_rng(seed)
    rows = mixed(pool(max(count // 50, 50), seed), count, rng)
    both(rows[:8])  # compiled or loaded
    one, other, slow, fast = both(rows)
    differs = np.zeros(count, dtype=bool)
    print(f"{count} machines, seed {seed}")
    print(f"{slow:.1f} s one by one, {fast:.1f} s abreast: {slow / fast:.2f} times")
    for name in COUNTS:
        unlike = apart(one, other, name) > 0.0
        differs |= unlike
        print(f"{name:20s} differs in {unlike.sum()} machines")
    print(f"any of these         differs in {differs.sum()} machines")
    names = [name for name in OUTCOMES if not name.startswith("balance") and name not in WORK]
    gaps = np.array([apart(one, other, name)[~differs] for name in names])
    worst = gaps.max(axis=0)
    for bound in (1e-12, 1e-10, 1e-8, 1e-6, 1e-5, 1e-4, 1e-3):
        print(f"of the others a reading is more than {bound:.0e} apart in {(worst > bound).sum()}")
    for i in np.argsort(-gaps.max(axis=1))[:8]:
        print(f"   {names[i]:32s} at most {gaps[i].max():.1e}")
    for name in WORK:
        print(f"{name}: {one[name].sum():.0f} and {other[name].sum():.0f} abreast")
    for name in ("balance_water", "balance_energy"):
        a, b = (np.nanmax(np.abs(out[name])) for out in (one, other))
        print(f"{name}: at most {a:.1e} and {b:.1e} abreast")
    odd = np.flatnonzero(differs)[:5]
    for i in odd:
        print({n: (float(one[i][n]), float(other[i][n])) for n in (*COUNTS, "cycle_time_s", "evaluations")})


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000, int(sys.argv[2]) if len(sys.argv) > 2 else 1)
