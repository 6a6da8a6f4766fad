"""What is counted and recorded while a cycle runs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from dryermodel.cycle.engine.balances import energy_gap, water_gap
from dryermodel.cycle.engine.constants import Constants
from dryermodel.cycle.engine.equations import Drive
from dryermodel.cycle.engine.gauges import hot
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.engine.state import (
    ELECTRIC_ENERGY,
    EXHAUST_ELEMENT,
    GAS_ENERGY,
    N_STATES,
    hottest,
    mean_moisture,
    water_removed,
    wettest,
)
from dryermodel.cycle.engine.switching import (
    N_DISCRETE,
)

if TYPE_CHECKING:
    from dryermodel.cycle.engine.arrays import Flags, Vector
    from dryermodel.cycle.engine.outcome import Outcome


def add_times(length: float, s: Flags, d: Drive, out: Outcome) -> None:
    """Add a stretch of `length` seconds between two switchings."""
    out.burner_time_s += length * hot(s)
    out.timer_time_s += length * d.dial_rate


def note_maxima(y: Vector, c: Constants, out: Outcome) -> None:
    """Raise the noted maxima to the present state."""
    out.load_temp_max_K = max(out.load_temp_max_K, hottest(y, c.pieces))
    out.exhaust_element_max_K = max(out.exhaust_element_max_K, y[EXHAUST_ELEMENT])


def close(t: float, y: Vector, p: Parameters, c: Constants, out: Outcome) -> None:
    """Write what is known only at the end of a run, at time `t` [s]."""
    out.cycle_time_s = t
    out.final_moisture = mean_moisture(y, c.pieces)
    out.wettest_final_moisture = wettest(y, c.pieces)
    out.final_load_temp_K = hottest(y, c.pieces)
    out.water_removed_kg = water_removed(y, p)
    out.gas_energy_J = y[GAS_ENERGY]
    out.electric_energy_J = y[ELECTRIC_ENERGY]
    out.balance_water = water_gap(y, p)
    out.balance_energy = energy_gap(y, p)


UNLIMITED = 2**31 - 1
"""Rows that no recording reaches."""

ROWS_OF_A_STEP = 2
"""Rows that a step writes at most: its middle and its end."""


class Tape(NamedTuple):
    """Where a run is recorded; it grows while it is written. Zero rows: nothing is recorded."""

    time: Any  # (rows,) [s]
    state: Any  # (rows, N_STATES)
    rate: Any  # (rows, N_STATES) per second
    discrete: Any  # (rows, N_DISCRETE)
    cause: Any  # (rows,) cause of the switching that this row follows, -1 for an ordinary step
    used: Any  # (1,) rows written
    most: Any  # (1,) rows it may grow to


def new_tape(rows: int, most: int = UNLIMITED) -> Tape:
    """Blank recording of `rows` rows, which may grow to `most`."""
    tape = Tape(
        np.zeros(rows),
        np.zeros((rows, N_STATES)),
        np.zeros((rows, N_STATES)),
        np.zeros((rows, N_DISCRETE), dtype=np.int64),
        np.zeros(rows, dtype=np.int64),
        np.zeros(1, dtype=np.int64),
        np.zeros(1, dtype=np.int64),
    )
    tape.most[0] = most
    return tape


def is_full(tape: Tape, rows: int = 1) -> bool:
    """Whether a tape has no room for so many more rows; a tape without rows is never full."""
    return 0 < len(tape.time) < int(tape.used[0]) + rows


def may_grow(tape: Tape) -> bool:
    """Whether a longer tape is allowed."""
    return len(tape.time) < int(tape.most[0])


def longer_tape(tape: Tape) -> Tape:
    """Return a tape of twice the rows, as far as is allowed, with the same recording."""
    rows = len(tape.time)
    longer = new_tape(min(2 * rows, int(tape.most[0])), int(tape.most[0]))
    longer.used[0] = tape.used[0]
    for row in range(rows):
        longer.time[row] = tape.time[row]
        longer.cause[row] = tape.cause[row]
        for i in range(N_STATES):
            longer.state[row, i] = tape.state[row, i]
            longer.rate[row, i] = tape.rate[row, i]
        for i in range(N_DISCRETE):
            longer.discrete[row, i] = tape.discrete[row, i]
    return longer


def record(tape: Tape, t: float, y: Vector, rate: Vector, s: Flags, cause: int) -> None:
    """Append a row to the tape, which has room or has no rows at all."""
    if len(tape.time) == 0:
        return
    row = tape.used[0]
    tape.used[0] += 1
    tape.time[row] = t
    tape.cause[row] = cause
    for i in range(N_STATES):
        tape.state[row, i] = y[i]
        tape.rate[row, i] = rate[i]
    for i in range(N_DISCRETE):
        tape.discrete[row, i] = s[i]
