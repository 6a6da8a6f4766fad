"""The hybrid automaton: settle the contacts, integrate to the next switching, switch, repeat.

Switchings that depend on temperature or moisture are located on the step's cubic; those that
depend on time (dial, flame sensor, interruptions, time limit) are hit exactly, because they vary
linearly. No step passes a switching, and every switching restarts the step.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryermodel.cycle.engine.constants import Constants, constants_of
from dryermodel.cycle.engine.equations import Drive, derivatives
from dryermodel.cycle.engine.parameters import NEVER, Parameters
from dryermodel.cycle.engine.state import (
    COIL_TEMP,
    EXHAUST_ELEMENT,
    HIGH_LIMIT_ELEMENT,
    METAL_TEMP,
    N_STATES,
    ROOM_HUMIDITY,
    start_load,
)
from dryermodel.cycle.engine.stepper import error_scale, hermite, hermite_slope, step, step_factor
from dryermodel.cycle.engine.switching import (
    BURNER_FEED,
    COIL_WHOLE,
    DOOR,
    EXHAUST_THERMOSTAT,
    FLAME_SENSOR,
    HIGH_LIMIT,
    IGNITER,
    RUNNING,
    START,
    STRETCH,
    SUPPLY,
    THERMAL_CUTOFF,
    settle,
)
from dryermodel.cycle.engine.tally import (
    CUT_OUT_AT,
    EVALUATIONS,
    FEED_TIME,
    FLAME_TIME,
    MARKED_AT,
    MID_ELEMENT,
    N_TOTALS,
    REJECTED,
    STEPS,
    TIMER_TIME,
    Tape,
    count,
    hot,
    is_full,
    longer_tape,
    note_maxima,
    probe,
    record,
)
from dryermodel.cycle.engine.triggers import (
    CAUSE_INTERRUPTION,
    CAUSE_MARKED_MOISTURE,
    CAUSE_MID_DRYING,
    CAUSE_START,
    CAUSE_STOP_MOISTURE,
    CAUSE_TIME_LIMIT,
    MARKED,
    MID_DRYING,
    already_past,
    earliest_crossing,
    interrupt,
    next_time_event,
    switch,
)
from dryermodel.machine.ignition import STUCK_OPEN
from dryermodel.machine.thermostats import snap_contact
from dryermodel.machine.timer import HEAT, OFF

if TYPE_CHECKING:
    from dryermodel.cycle.engine.arrays import Flags, Matrix, Vector

# Why a run ended.
DIAL_RAN_OUT, MOISTURE_REACHED, TIME_LIMIT, STOPPED = 0, 1, 2, 3

FIRST_STEP = 8.0
"""First step after a switching [s]; the error estimate corrects it."""

LONGEST_STEP = 120.0
"""Longest step [s]."""

SAME_TIME = 1.0e-9
"""Time events closer than this [s] happen together."""


def initial_state(p: Parameters, y: Vector, s: Flags) -> None:
    """State at the press of the start button: everything at room temperature but the load."""
    for i in range(N_STATES):
        y[i] = 0.0
    start_load(y, p)
    for i in (METAL_TEMP, EXHAUST_ELEMENT, HIGH_LIMIT_ELEMENT, COIL_TEMP):
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


def run(
    p: Parameters, when: Vector, what: Flags, y: Vector, s: Flags, work: Matrix, totals: Vector, tape: Tape
) -> tuple[int, Tape]:
    """Run one cycle from the press of the start button to its end.

    Parameters
    ----------
    p : Parameters
        The parameter set.
    when, what : arrays, shape (n,)
        Interruptions: times [s], ascending, and codes of :mod:`dryermodel.machine.circuit`.
    y : array of float, shape (N_STATES,)
        Holds the final state on return.
    s : array of int, shape (N_DISCRETE,)
        Holds the final discrete state on return.
    work : array of float, shape (8, N_STATES)
        Scratch.
    totals : array of float, shape (N_TOTALS,)
        Filled with what was counted.
    tape : Tape
        Recording to start with, may have zero rows.

    Returns
    -------
    int
        DIAL_RAN_OUT, MOISTURE_REACHED, TIME_LIMIT or STOPPED. The time of the end is in
        ``work[7, 0]``.
    Tape
        The recording: `tape`, or a longer one when that was full.
    """
    k, y_new, scratch, scale, clock = work[0:4], work[4], work[5], work[6], work[7]
    initial_state(p, y, s)
    error_scale(p, scale)
    c = constants_of(p)
    for i in range(N_TOTALS):
        totals[i] = 0.0
    totals[MARKED_AT] = totals[CUT_OUT_AT] = totals[MID_ELEMENT] = -1.0
    t = 0.0
    passed = 0
    pending = 0  # next interruption
    cause = CAUSE_START
    while True:
        before_hot, before_igniter = hot(s), s[IGNITER]
        d = settle(s, y, p)
        count(cause, t, before_hot, before_igniter, s, totals)
        derivatives(y, p, c, d, k[0])
        totals[EVALUATIONS] += 1
        if is_full(tape):
            tape = longer_tape(tape)
        record(tape, t, y, k[0], s, cause)
        clock[0] = t
        if s[STRETCH] == OFF:
            return DIAL_RAN_OUT, tape
        if cause == CAUSE_STOP_MOISTURE:
            return MOISTURE_REACHED, tape
        if cause == CAUSE_TIME_LIMIT:
            return TIME_LIMIT, tape
        if s[RUNNING] == 0 and pending >= len(when):
            return STOPPED, tape

        cause = already_past(y, s, p, passed)
        if cause < 0:
            interruption = when[pending] if pending < len(when) else NEVER
            end, end_cause = next_time_event(t, y, s, p, d, interruption)
            clock[0], clock[1] = t, FIRST_STEP
            while cause < 0:
                if is_full(tape):
                    tape = longer_tape(tape)
                cause = glide(
                    clock, end, end_cause, p, c, d, passed, y, s, k, y_new, scratch, scale, totals, tape
                )
            add_times(clock[0] - t, s, d, totals)
            t = clock[0]
        if cause == CAUSE_MARKED_MOISTURE:
            passed |= MARKED
        if cause == CAUSE_MID_DRYING:
            passed |= MID_DRYING
            probe(y, p, c, d, totals)
        if cause == CAUSE_INTERRUPTION:
            interrupt(what[pending], s)
            pending += 1
        switch(cause, y, s, p)


def glide(
    clock: Vector,
    end: float,
    end_cause: int,
    p: Parameters,
    c: Constants,
    d: Drive,
    passed: int,
    y: Vector,
    s: Flags,
    k: Matrix,
    y_new: Vector,
    scratch: Vector,
    scale: Vector,
    totals: Vector,
    tape: Tape,
) -> int:
    """Integrate the smooth equations to the next switching and return its cause, or -1 at a full tape.

    `clock` holds the time and the length of the next step, before and after; the other arguments are
    those of :func:`run`. Called again with a longer tape, it goes on as if nothing had been.
    """
    t, h = float(clock[0]), float(clock[1])
    cause = -1
    while cause < 0 and not is_full(tape):
        last = t + h >= end - SAME_TIME
        if last:
            h = end - t
        error = step(y, h, p, c, d, scale, k, y_new, scratch)
        totals[EVALUATIONS] += 3
        if error > 1.0:
            totals[REJECTED] += 1
            h *= step_factor(error)
            continue
        totals[STEPS] += 1
        theta, which = earliest_crossing(y, y_new, k, h, s, p, passed)
        if theta <= 1.0:
            cause = which
            move_to(theta, h, y, y_new, k)
            t += theta * h
        else:
            for i in range(N_STATES):
                y[i] = y_new[i]
                k[0, i] = k[3, i]
            t = end if last else t + h
            cause = end_cause if last else -1
        note_maxima(y, c, totals)
        record(tape, t, y, k[0], s, -1)
        h = min(h * step_factor(error), LONGEST_STEP)
    clock[0], clock[1] = t, h
    return cause


def add_times(length: float, s: Flags, d: Drive, totals: Vector) -> None:
    """Add a stretch of `length` seconds between two switchings to the totals."""
    totals[FLAME_TIME] += length * hot(s)
    totals[FEED_TIME] += length * s[BURNER_FEED]
    totals[TIMER_TIME] += length * d.dial_rate


def move_to(theta: float, h: float, y: Vector, y_new: Vector, k: Matrix) -> None:
    """Put state `y` and its rates ``k[0]`` at position `theta` of the step that ends in `y_new`."""
    for i in range(N_STATES):
        a, b, fa, fb = y[i], y_new[i], k[0, i], k[3, i]
        y[i] = hermite(a, b, fa, fb, h, theta)
        k[0, i] = hermite_slope(a, b, fa, fb, h, theta)
