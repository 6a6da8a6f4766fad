"""The hybrid automaton: settle the contacts, integrate to the next switching, switch, repeat.

Switchings that depend on temperature or moisture are located on the step's cubic; those that
depend on time (dial, flame sensor, interruptions, time limit) are hit exactly, because they vary
linearly. No step passes a switching, and every switching restarts the step.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from dryermodel.cycle.engine.causes import (
    CAUSE_INTERRUPTION,
    CAUSE_START,
    NO_CAUSE,
)
from dryermodel.cycle.engine.constants import Constants, constants_of
from dryermodel.cycle.engine.endings import GOES_ON, ending
from dryermodel.cycle.engine.equations import Drive, derivatives
from dryermodel.cycle.engine.gauges import begin, compare, finish, look_ahead, look_back, pass_marks, was
from dryermodel.cycle.engine.pair import halve, step
from dryermodel.cycle.engine.parameters import NEVER, Parameters
from dryermodel.cycle.engine.state import (
    N_STATES,
    ROOM_HUMIDITY,
    TEMPERATURES,
    start_load,
)
from dryermodel.cycle.engine.stepper import error_scale, hermite, hermite_slope, step_factor
from dryermodel.cycle.engine.switching import (
    COIL_WHOLE,
    DOOR,
    EXHAUST_THERMOSTAT,
    FLAME_SENSOR,
    HIGH_LIMIT,
    START,
    STRETCH,
    SUPPLY,
    THERMAL_CUTOFF,
    settle,
)
from dryermodel.cycle.engine.tally import (
    ROWS_OF_A_STEP,
    Tape,
    add_times,
    close,
    is_full,
    longer_tape,
    may_grow,
    note_maxima,
    record,
)
from dryermodel.cycle.engine.triggers import (
    Due,
    already_past,
    earliest_crossing,
    interrupt,
    next_time_event,
    switch,
)
from dryermodel.cycle.engine.workspace import END
from dryermodel.machine.ignition import STUCK_OPEN
from dryermodel.machine.thermostats import snap_contact
from dryermodel.machine.timer import HEAT

if TYPE_CHECKING:
    from dryermodel.cycle.engine.arrays import Flags, Vector
    from dryermodel.cycle.engine.outcome import Outcome
    from dryermodel.cycle.engine.workspace import Workspace

FIRST_STEP = 8.0
"""First step after a switching [s]; the error estimate corrects it."""

LONGEST_STEP = 120.0
"""Longest step [s]."""

EVALUATIONS = 6.0
"""Evaluations of a step; the one at its start is the last of the step before."""

SAME_TIME = 1.0e-9
"""Time events closer than this [s] happen together: nothing moves in so little time, and a step of no length
has no slopes."""


def initial_state(p: Parameters, y: Vector, s: Flags) -> None:
    """State at the press of the start button: everything at room temperature but the load."""
    for i in range(N_STATES):
        y[i] = 0.0
    start_load(y, p)
    for i in TEMPERATURES:
        y[i] = p.room_temp
    y[ROOM_HUMIDITY] = p.room_humidity_ratio
    for i in range(len(s)):
        s[i] = 0
    for i in (SUPPLY, DOOR, EXHAUST_THERMOSTAT, HIGH_LIMIT, FLAME_SENSOR, COIL_WHOLE, START):
        s[i] = 1
    s[STRETCH] = HEAT
    closed = snap_contact(True, p.room_temp, p.cut_out, p.cut_in)
    s[EXHAUST_THERMOSTAT] = 1 if closed else 0
    s[THERMAL_CUTOFF] = 1 if p.cutoff_intact == 1.0 else 0
    if p.sensor_stuck == STUCK_OPEN:
        s[FLAME_SENSOR] = 0


def run(p: Parameters, when: Vector, what: Flags, w: Workspace, out: Outcome, tape: Tape) -> Tape:
    """Run one cycle from the press of the start button to its end.

    Parameters
    ----------
    p : Parameters
        The parameter set.
    when, what : arrays, shape (n,)
        Interruptions: times [s], ascending, and codes of :mod:`dryermodel.machine.circuit`.
    w : Workspace
        Holds the final state and discrete state on return.
    out : Outcome
        Blank; filled with how the run ended, its sums and what was read on the way.
    tape : Tape
        Recording to start with, may have zero rows.

    Returns
    -------
    Tape
        The recording: `tape`, or a longer one when that was full. Where it may not grow the run breaks
        off, and the end code stays what it was in the blank: NaN.
    """
    c = constants_of(p)
    d = press_start(p, c, w, out)
    t = 0.0
    pending = 0  # next interruption
    cause = CAUSE_START
    while True:
        derivatives(w.y, p, c, d, w.k[0])
        if is_full(tape):
            if not may_grow(tape):
                return tape
            tape = longer_tape(tape)
        record(tape, t, w.y, w.k[0], w.s, cause)
        if has_ended(cause, t, len(when) - pending, p, c, d, w, out):
            return tape
        way = set_off(t, when[pending] if pending < len(when) else NEVER, p, c, d, w)
        cause = way.cause
        while cause == NO_CAUSE:
            if is_full(tape, ROWS_OF_A_STEP):
                if not may_grow(tape):
                    return tape
                tape = longer_tape(tape)
            cause = glide(way.due, p, c, d, w, out, tape)
        t = arrive(t, d, w, out)
        d = turn(cause, t, what, pending, p, c, d, w, out)
        if cause == CAUSE_INTERRUPTION:
            pending += 1


def press_start(p: Parameters, c: Constants, w: Workspace, out: Outcome) -> Drive:
    """Put the machine at the press of the start button; its drive until the first switching."""
    initial_state(p, w.y, w.s)
    error_scale(p, w.scale)
    begin(w)
    before = was(w.s)
    d = settle(w.s, w.y, p)
    compare(CAUSE_START, 0.0, before, p, c, d, w, out)
    note_maxima(w.y, c, out)
    return d


def has_ended(
    cause: int, t: float, waiting: int, p: Parameters, c: Constants, d: Drive, w: Workspace, out: Outcome
) -> bool:
    """Look at the machine just after a switching of `cause` at time `t` [s]; whether that was the end.

    The rates ``w.k[0]`` are those after the switching; `waiting` interruptions are still to come.
    """
    out.evaluations += 1.0
    look_ahead(p, d, w, out)
    code = ending(cause, w.s, waiting, p, out)
    if code == GOES_ON:
        return False
    out.end_code = code
    finish(t, d, w, out)
    close(t, w.y, p, c, out)
    return True


class Way(NamedTuple):
    """What lies ahead after a switching."""

    cause: int  # of a switching that comes at once, or NO_CAUSE
    due: Due  # the next one that depends on time alone


def set_off(t: float, interruption: float, p: Parameters, c: Constants, d: Drive, w: Workspace) -> Way:
    """Look ahead from time `t` [s] and set the clock; `interruption` is the time of the next one [s]."""
    due = next_time_event(t, w.y, w.s, p, d, interruption)
    w.clock[0], w.clock[1] = t, FIRST_STEP
    cause = already_past(w, p, c)
    if cause == NO_CAUSE and due.time - t <= SAME_TIME:
        w.clock[0] = due.time
        cause = due.cause
    return Way(cause, due)


def arrive(t: float, d: Drive, w: Workspace, out: Outcome) -> float:
    """Count what lies between the switching at time `t` [s] and the clock, which is returned [s]."""
    add_times(w.clock[0] - t, w.s, d, out)
    pass_marks(w.clock[0], w)
    return float(w.clock[0])


def turn(
    cause: int,
    t: float,
    what: Flags,
    pending: int,
    p: Parameters,
    c: Constants,
    d: Drive,
    w: Workspace,
    out: Outcome,
) -> Drive:
    """Carry out the switching of `cause` at time `t` [s]; the drive after it.

    Where it is an interruption, it is number `pending` of `what`.
    """
    look_back(cause, t, p, c, d, w, out)
    if cause == CAUSE_INTERRUPTION:
        interrupt(what[pending], w.s)
    before = was(w.s)
    switch(cause, w.y, w.s, p)
    after = settle(w.s, w.y, p)
    compare(cause, t, before, p, c, d, w, out)
    return after


def glide(due: Due, p: Parameters, c: Constants, d: Drive, w: Workspace, out: Outcome, tape: Tape) -> int:
    """Integrate the smooth equations to the next switching; its cause, or NO_CAUSE at a full tape.

    ``w.clock`` holds the time and the length of the next step, before and after; the other arguments
    are those of :func:`run`. Called again with a longer tape, it goes on as if nothing had been.
    """
    cause = NO_CAUSE
    while cause == NO_CAUSE and not is_full(tape, ROWS_OF_A_STEP):
        cause = stride(due, p, c, d, w, out, tape)
    return cause


def stride(due: Due, p: Parameters, c: Constants, d: Drive, w: Workspace, out: Outcome, tape: Tape) -> int:
    """Try one step; the cause of the switching it ends at, or NO_CAUSE.

    Arguments are those of :func:`glide`. A step that is refused leaves all but the next step's length.
    """
    t, h = float(w.clock[0]), float(w.clock[1])
    last = t + h >= due.time - SAME_TIME
    if last:
        h = due.time - t
    error = step(h, p, c, d, w)
    out.evaluations += EVALUATIONS
    if error > 1.0:
        out.rejected_steps += 1.0
        w.clock[1] = h * step_factor(error)
        return NO_CAUSE
    out.steps += 1.0
    halve(h, w)
    theta, which = earliest_crossing(w, h, p, c)
    if theta > 0.5:
        note_maxima(w.y_mid, c, out)
        record(tape, t + 0.5 * h, w.y_mid, w.k_mid, w.s, NO_CAUSE)
    if theta <= 1.0:
        cause = which
        stop_within(theta, h, w)
        t += theta * h
    else:
        cause = due.cause if last else NO_CAUSE
        go_to_end(w)
        t = due.time if last else t + h
    note_maxima(w.y, c, out)
    record(tape, t, w.y, w.k[0], w.s, NO_CAUSE)
    w.clock[0], w.clock[1] = t, min(h * step_factor(error), LONGEST_STEP)
    return cause


def stop_within(theta: float, h: float, w: Workspace) -> None:
    """Put the state and its rates ``k[0]`` at position `theta` of the step of `h` seconds.

    They are those of the cubic on that half of the step.
    """
    late = theta > 0.5
    position = 2.0 * theta - 1.0 if late else 2.0 * theta
    for i in range(N_STATES):
        a = w.y_mid[i] if late else w.y[i]
        b = w.y_new[i] if late else w.y_mid[i]
        fa = w.k_mid[i] if late else w.k[0, i]
        fb = w.k[END, i] if late else w.k_mid[i]
        w.y[i] = hermite(a, b, fa, fb, 0.5 * h, position)
        w.k[0, i] = hermite_slope(a, b, fa, fb, 0.5 * h, position)


def go_to_end(w: Workspace) -> None:
    """Put the state and its rates ``k[0]`` at the end of the step."""
    for i in range(N_STATES):
        w.y[i] = w.y_new[i]
        w.k[0, i] = w.k[END, i]
