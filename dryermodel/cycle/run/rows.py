"""Outcomes of many runs as rows of numbers; compiled together with the engine."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from dryermodel.cycle.engine.balances import energy_gap, water_gap
from dryermodel.cycle.engine.loop import run
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.engine.state import (
    ELECTRIC_ENERGY,
    GAS_ENERGY,
    N_STATES,
    mean_moisture,
    pieces_of,
    water_removed,
)
from dryermodel.cycle.engine.switching import N_DISCRETE
from dryermodel.cycle.engine.tally import (
    BURNS,
    ELEMENT_MAX,
    EVALUATIONS,
    FLAME_TIME,
    HIGH_LIMIT_TRIPS,
    IGNITION_TRIES,
    LOAD_TEMP_MAX,
    MARKED_AT,
    MID_ELEMENT,
    MID_FLOW,
    MID_STATIC,
    N_TOTALS,
    TIMER_TIME,
    Tape,
    new_tape,
)

if TYPE_CHECKING:
    from dryermodel.cycle.engine.arrays import Flags, Matrix, Rows, Vector

OUTCOMES = (
    "end_code",
    "cycle_time_s",
    "time_to_marked_s",
    "final_moisture",
    "water_removed_kg",
    "gas_energy_J",
    "electric_energy_J",
    "burner_time_s",
    "timer_time_s",
    "burner_cycles",
    "high_limit_trips",
    "ignition_tries",
    "load_temp_max_K",
    "exhaust_element_max_K",
    "mid_drying_exhaust_temp_K",
    "mid_drying_flow_m3_per_s",
    "mid_drying_static_Pa",
    "balance_water",
    "balance_energy",
    "evaluations",
)
"""What is kept of each cycle; NaN where it does not apply (a moisture that was never reached)."""

NOTHING = float("nan")


def summarise(code: int, duration: float, y: Vector, totals: Vector, p: Parameters, out: Vector) -> None:
    """Write the outcome of one run into the row `out`, in the order of `OUTCOMES`."""
    marked = totals[MARKED_AT]
    probed = totals[MID_ELEMENT] >= 0.0
    out[0] = code
    out[1] = duration
    out[2] = marked if marked >= 0.0 else NOTHING
    out[3] = mean_moisture(y, pieces_of(p))
    out[4] = water_removed(y, p)
    out[5] = y[GAS_ENERGY]
    out[6] = y[ELECTRIC_ENERGY]
    out[7] = totals[FLAME_TIME]
    out[8] = totals[TIMER_TIME]
    out[9] = totals[BURNS]
    out[10] = totals[HIGH_LIMIT_TRIPS]
    out[11] = totals[IGNITION_TRIES]
    out[12] = totals[LOAD_TEMP_MAX]
    out[13] = totals[ELEMENT_MAX]
    out[14] = totals[MID_ELEMENT] if probed else NOTHING
    out[15] = totals[MID_FLOW] if probed else NOTHING
    out[16] = totals[MID_STATIC] if probed else NOTHING
    out[17] = water_gap(y, p)
    out[18] = energy_gap(y, p)
    out[19] = totals[EVALUATIONS]


def scratch(rows: int) -> tuple[Vector, Flags, Matrix, Vector, Tape]:
    """Return what :func:`run_rows` works in, with a recording of `rows` rows to start with."""
    y, s = np.zeros(N_STATES), np.zeros(N_DISCRETE, dtype=np.int64)
    return y, s, np.zeros((8, N_STATES)), np.zeros(N_TOTALS), new_tape(rows)


def run_rows(
    rows: Rows,
    when: Vector,
    what: Flags,
    y: Vector,
    s: Flags,
    work: Matrix,
    totals: Vector,
    tape: Tape,
    out: Matrix,
) -> Tape:
    """Run one cycle for each parameter row and write each outcome into a row of `out`.

    Returns the recording of all of them, which is `tape` or a longer one when that was full.
    """
    for i in range(len(rows)):
        p = rows[i]
        code, tape = run(p, when, what, y, s, work, totals, tape)
        summarise(code, work[7, 0], y, totals, p, out[i])
    return tape
