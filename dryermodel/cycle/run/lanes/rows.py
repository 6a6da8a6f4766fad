"""Many runs abreast, each outcome a row of numbers: what is discrete goes on lane by lane, as ever."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from dryermodel.cycle.engine.causes import CAUSE_INTERRUPTION, CAUSE_START, NO_CAUSE
from dryermodel.cycle.engine.constants import constants_of
from dryermodel.cycle.engine.loop import arrive, has_ended, press_start, set_off, turn
from dryermodel.cycle.engine.parameters import NEVER, Parameters
from dryermodel.cycle.engine.state import N_DYNAMIC, N_STATES
from dryermodel.cycle.engine.switching import N_DISCRETE
from dryermodel.cycle.engine.workspace import new_workspace
from dryermodel.cycle.run.lanes.kernels import (
    CAUSE,
    DUE_CAUSE,
    RUNS,
    Abreast,
    constants_at,
    drive_at,
    lent,
    new_abreast,
    put_record,
    rates_after_switchings,
    stride_abreast,
)
from dryermodel.cycle.run.lanes.values import WIDTH

if TYPE_CHECKING:
    from dryermodel.cycle.engine.arrays import Flags, Matrix, Rows, Vector
    from dryermodel.cycle.engine.outcome import Outcome
    from dryermodel.cycle.engine.workspace import Workspace

IDLE, SWITCHED, GLIDES = 0, 1, 2
"""Where a lane stands: without a machine, just after a switching, or on its way to the next."""


class Desk(NamedTuple):
    """What is kept of each lane between two switchings."""

    row: Any  # (WIDTH,) row of its machine
    stands: Any  # (WIDTH,) IDLE, SWITCHED or GLIDES
    pending: Any  # (WIDTH,) next interruption
    cause: Any  # (WIDTH,) of its latest switching
    time: Any  # (WIDTH,) [s] of that
    strides: Any  # (1,) steps tried by all lanes together, for the share of lanes in use


class Scratch(NamedTuple):
    """What :func:`run_abreast` works in."""

    lanes: Abreast
    works: tuple[Workspace, ...]  # of each lane, for what is discrete
    desk: Desk


def scratch() -> Scratch:
    """Room for runs abreast."""
    row, stands, pending, cause = (np.zeros(WIDTH, dtype=np.int64) for _ in range(4))
    works = tuple(new_workspace() for _ in range(WIDTH))
    strides = np.zeros(1, dtype=np.int64)
    return Scratch(new_abreast(), works, Desk(row, stands, pending, cause, np.zeros(WIDTH), strides))


def run_abreast(rows: Rows, numbers: Matrix, when: Vector, what: Flags, scratch: Scratch, out: Rows) -> None:
    """Run one cycle for each parameter row and write its outcome into the same row of `out`.

    A lane takes the next row as soon as its cycle has ended. No lane looks at another.

    Parameters
    ----------
    rows : structured ndarray of PARAMETER_ROW, shape (n,)
        Parameter sets.
    numbers : ndarray, shape (n, numbers of a row)
        The same memory as plain numbers.
    when, what : arrays, shape (k,)
        Interruptions of every cycle: times [s], ascending, and codes.
    scratch : Scratch
        From :func:`scratch`.
    out : structured ndarray of OUTCOME_ROW, shape (n,)
        Blank rows.
    """
    lanes, works, desk = lent(scratch)
    when, what = lent((when, what))
    waiting = 0
    for lane in range(WIDTH):
        desk.stands[lane] = IDLE
        lanes.turns[RUNS, lane] = 0
    while True:
        gliding = 0
        settled = False
        while not settled:
            for lane in range(WIDTH):
                if desk.stands[lane] == IDLE and waiting < len(rows):
                    begin_cycle(waiting, rows[waiting], numbers, lane, lanes, works[lane], desk, out[waiting])
                    waiting += 1
            settled = True
            for lane in range(WIDTH):
                if desk.stands[lane] == SWITCHED:
                    settled = False
            if not settled:
                rates_after_switchings(lanes)
            for lane in range(WIDTH):
                if desk.stands[lane] == SWITCHED:
                    row = desk.row[lane]
                    look_about(rows[row], when, what, lane, lanes, works[lane], desk, out[row])
        for lane in range(WIDTH):
            if desk.stands[lane] == GLIDES:
                gliding += 1
        if gliding == 0:
            return
        stride_abreast(lanes)
        desk.strides[0] += 1
        for lane in range(WIDTH):
            if desk.stands[lane] == GLIDES and lanes.turns[CAUSE, lane] != NO_CAUSE:
                row = desk.row[lane]
                stop(rows[row], what, lane, lanes, works[lane], desk, out[row])


def begin_cycle(
    row: int,
    p: Parameters,
    numbers: Matrix,
    lane: int,
    lanes: Abreast,
    w: Workspace,
    desk: Desk,
    out: Outcome,
) -> None:
    """Put the machine of a row into a lane, at the press of its start button."""
    for i in range(numbers.shape[1]):
        lanes.p[i, lane] = numbers[row, i]
    put_record(lanes.c, lane, constants_of(p))
    put_record(lanes.d, lane, press_start(p, constants_at(lanes.c, lane), w, out))
    for i in range(N_DYNAMIC):
        lanes.scale[i, lane] = w.scale[i]
    to_lane(lane, lanes, w)
    desk.row[lane], desk.stands[lane], desk.pending[lane] = row, SWITCHED, 0
    desk.cause[lane], desk.time[lane] = CAUSE_START, 0.0


def to_lane(lane: int, lanes: Abreast, w: Workspace) -> None:
    """Put state and discrete state into a lane."""
    for i in range(N_STATES):
        lanes.y[i, lane] = w.y[i]
    for i in range(N_DISCRETE):
        lanes.s[i, lane] = w.s[i]


def look_about(
    p: Parameters,
    when: Vector,
    what: Flags,
    lane: int,
    lanes: Abreast,
    w: Workspace,
    desk: Desk,
    out: Outcome,
) -> None:
    """Look at a machine just after a switching: it has ended, switches again at once, or sets off."""
    for i in range(N_STATES):
        w.k[0, i] = lanes.first[i, lane]
    c, d = constants_at(lanes.c, lane), drive_at(lanes.d, lane)
    t, pending = float(desk.time[lane]), int(desk.pending[lane])
    if has_ended(int(desk.cause[lane]), t, len(when) - pending, p, c, d, w, out):
        desk.stands[lane] = IDLE
        return
    way = set_off(t, when[pending] if pending < len(when) else NEVER, p, c, d, w)
    if way.cause != NO_CAUSE:
        switched(way.cause, p, what, lane, lanes, w, desk, out)
        return
    desk.stands[lane] = GLIDES
    lanes.turns[RUNS, lane] = 1
    lanes.turns[DUE_CAUSE, lane] = way.due.cause
    lanes.due[0, lane] = way.due.time
    lanes.clock[0, lane], lanes.clock[1, lane] = w.clock[0], w.clock[1]
    for i in range(N_STATES):
        lanes.k[0, i, lane] = w.k[0, i]
    lanes.counted[0, lane] = out.evaluations
    lanes.counted[1, lane] = out.steps
    lanes.counted[2, lane] = out.rejected_steps
    lanes.counted[3, lane] = out.load_temp_max_K
    lanes.counted[4, lane] = out.exhaust_element_max_K


def stop(
    p: Parameters, what: Flags, lane: int, lanes: Abreast, w: Workspace, desk: Desk, out: Outcome
) -> None:
    """Take a machine from its lane where a step ended at a switching, and carry that out."""
    out.evaluations = lanes.counted[0, lane]
    out.steps = lanes.counted[1, lane]
    out.rejected_steps = lanes.counted[2, lane]
    out.load_temp_max_K = lanes.counted[3, lane]
    out.exhaust_element_max_K = lanes.counted[4, lane]
    for i in range(N_STATES):
        w.y[i] = lanes.y[i, lane]
        w.k[0, i] = lanes.k[0, i, lane]
    w.clock[0], w.clock[1] = lanes.clock[0, lane], lanes.clock[1, lane]
    lanes.turns[RUNS, lane] = 0
    switched(int(lanes.turns[CAUSE, lane]), p, what, lane, lanes, w, desk, out)


def switched(
    cause: int,
    p: Parameters,
    what: Flags,
    lane: int,
    lanes: Abreast,
    w: Workspace,
    desk: Desk,
    out: Outcome,
) -> None:
    """Carry out the switching of `cause` at the clock of a lane's machine."""
    c, d = constants_at(lanes.c, lane), drive_at(lanes.d, lane)
    pending = int(desk.pending[lane])
    t = arrive(float(desk.time[lane]), d, w, out)
    put_record(lanes.d, lane, turn(cause, t, what, pending, p, c, d, w, out))
    to_lane(lane, lanes, w)
    desk.stands[lane], desk.cause[lane], desk.time[lane] = SWITCHED, cause, t
    if cause == CAUSE_INTERRUPTION:
        desk.pending[lane] = pending + 1
