"""What is counted and recorded while a cycle runs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from dryermodel.cycle.engine.constants import Constants
from dryermodel.cycle.engine.equations import Drive, air_side
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.engine.state import (
    EXHAUST_ELEMENT,
    N_STATES,
    hottest,
)
from dryermodel.cycle.engine.switching import (
    EXHAUST_THERMOSTAT,
    FLAME,
    HEATER,
    HIGH_LIMIT,
    IGNITER,
    N_DISCRETE,
)
from dryermodel.cycle.engine.triggers import CAUSE_EXHAUST_THERMOSTAT, CAUSE_HIGH_LIMIT, CAUSE_MARKED_MOISTURE
from dryermodel.physics.moist_air import moist_density

if TYPE_CHECKING:
    from dryermodel.cycle.engine.arrays import Flags, Vector

# Positions in the totals of a run.
FLAME_TIME = 0  # [s]
FEED_TIME = 1  # [s] burner circuit fed
TIMER_TIME = 2  # [s] timer motor turning
BURNS = 3  # number of times the flame was lit (or the heater came on)
HIGH_LIMIT_TRIPS = 4
IGNITION_TRIES = 5
MARKED_AT = 6  # [s] first time at or below the marked moisture, negative if never
CUT_OUT_AT = 7  # [s] first opening of the exhaust thermostat, negative if never
EVALUATIONS = 8
STEPS = 9
REJECTED = 10
LOAD_TEMP_MAX = 11  # [K] at step ends
ELEMENT_MAX = 12  # [K] exhaust thermostat's element, at step ends
MID_ELEMENT = 13  # [K] exhaust thermostat's element half way through bulk drying, negative if never
MID_FLOW = 14  # [m3/s] exhaust flow at that moment
MID_STATIC = 15  # [Pa] static pressure at the collar at that moment
N_TOTALS = 16


def hot(s: Flags) -> int:
    """Whether heat is being released: a flame, or the electric heater."""
    return 1 if s[FLAME] == 1 or s[HEATER] == 1 else 0


def count(cause: int, t: float, before_hot: int, before_igniter: int, s: Flags, totals: Vector) -> None:
    """Add what a switching did to the totals."""
    if hot(s) > before_hot:
        totals[BURNS] += 1
    if s[IGNITER] > before_igniter:
        totals[IGNITION_TRIES] += 1
    if cause == CAUSE_HIGH_LIMIT and s[HIGH_LIMIT] == 0:
        totals[HIGH_LIMIT_TRIPS] += 1
    if cause == CAUSE_MARKED_MOISTURE:
        totals[MARKED_AT] = t
    if cause == CAUSE_EXHAUST_THERMOSTAT and s[EXHAUST_THERMOSTAT] == 0 and totals[CUT_OUT_AT] < 0.0:
        totals[CUT_OUT_AT] = t


def probe(y: Vector, p: Parameters, c: Constants, d: Drive, totals: Vector) -> None:
    """Note the air side half way through bulk drying."""
    a = air_side(y, p, c, d)
    w = a.exhaust.humidity_ratio
    density = moist_density(a.exhaust.temp, w, p.pressure)
    totals[MID_ELEMENT] = y[EXHAUST_ELEMENT]
    totals[MID_FLOW] = a.flows.exhaust * (1.0 + w) / density
    totals[MID_STATIC] = a.flows.collar_pressure


def note_maxima(y: Vector, c: Constants, totals: Vector) -> None:
    """Raise the recorded maxima to the present state."""
    totals[LOAD_TEMP_MAX] = max(totals[LOAD_TEMP_MAX], hottest(y, c.pieces))
    totals[ELEMENT_MAX] = max(totals[ELEMENT_MAX], y[EXHAUST_ELEMENT])


class Tape(NamedTuple):
    """Where a run is recorded; it grows while it is written. Zero rows: nothing is recorded."""

    time: Any  # (rows,) [s]
    state: Any  # (rows, N_STATES)
    rate: Any  # (rows, N_STATES) per second
    discrete: Any  # (rows, N_DISCRETE)
    cause: Any  # (rows,) cause of the switching that this row follows, -1 for an ordinary step
    used: Any  # (1,) rows written


def new_tape(rows: int) -> Tape:
    """Blank recording of `rows` rows."""
    return Tape(
        np.zeros(rows),
        np.zeros((rows, N_STATES)),
        np.zeros((rows, N_STATES)),
        np.zeros((rows, N_DISCRETE), dtype=np.int64),
        np.zeros(rows, dtype=np.int64),
        np.zeros(1, dtype=np.int64),
    )


def is_full(tape: Tape) -> bool:
    """Whether every row of a tape is written; a tape without rows is never full."""
    return 0 < len(tape.time) <= int(tape.used[0])


def longer_tape(tape: Tape) -> Tape:
    """Return a tape of twice the rows with the same recording."""
    rows = len(tape.time)
    longer = new_tape(2 * rows)
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
