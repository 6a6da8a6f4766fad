"""What can switch the machine, when it is due, and what it does to the discrete state."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from dryermodel.cycle.engine.causes import (
    CAUSE_COIL,
    CAUSE_DIAL,
    CAUSE_EXHAUST_THERMOSTAT,
    CAUSE_FLAME_SENSOR,
    CAUSE_HIGH_LIMIT,
    CAUSE_INTERRUPTION,
    CAUSE_MARKED_MOISTURE,
    CAUSE_MID_DRYING,
    CAUSE_MOTOR_LET_GO,
    CAUSE_SCORCHING,
    CAUSE_STOP_MOISTURE,
    CAUSE_THERMAL_CUTOFF,
    CAUSE_TIME_LIMIT,
    NO_CAUSE,
    THRESHOLD_CAUSES,
)
from dryermodel.cycle.engine.constants import Constants
from dryermodel.cycle.engine.equations import Drive
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.engine.state import (
    COIL_TEMP,
    CUTOFF_ELEMENT,
    DIAL,
    EXHAUST_ELEMENT,
    HIGH_LIMIT_ELEMENT,
    SENSOR_WARMTH,
    critical_moisture,
    hottest_piece,
    mean_moisture,
)
from dryermodel.cycle.engine.stepper import first_crossing
from dryermodel.cycle.engine.switching import (
    BIAS,
    COIL_WHOLE,
    DOOR,
    EXHAUST_THERMOSTAT,
    FLAME_SENSOR,
    HIGH_LIMIT,
    MARK_PASSED,
    MIDWAY_PASSED,
    RUNNING,
    START,
    STRETCH,
    SUPPLY,
    THERMAL_CUTOFF,
)
from dryermodel.cycle.engine.workspace import END
from dryermodel.machine.circuit import DOOR_CLOSED, DOOR_OPENED, POWER_BACK, POWER_CUT, START_PRESSED
from dryermodel.machine.ignition import sensor_contact
from dryermodel.machine.timer import stretch_end

if TYPE_CHECKING:
    from dryermodel.cycle.engine.arrays import Flags, Vector
    from dryermodel.cycle.engine.workspace import Workspace


class Threshold(NamedTuple):
    """What a cause waits for: its quantity passing `level` in one direction, if it waits at all."""

    waits: bool
    level: float
    rising: bool


class Quantity(NamedTuple):
    """A watched function of the state at one moment."""

    value: float
    slope: float  # per second, along the rates of the state


def threshold(cause: int, s: Flags, p: Parameters, c: Constants) -> Threshold:
    """Level and direction that `cause` waits for in the discrete state `s`."""
    if cause == CAUSE_EXHAUST_THERMOSTAT:
        bias = p.bias_rise * s[BIAS]
        if s[EXHAUST_THERMOSTAT] == 1:
            return Threshold(True, p.cut_out - bias, True)
        return Threshold(True, p.cut_in - bias, False)
    if cause == CAUSE_HIGH_LIMIT:
        if s[HIGH_LIMIT] == 1:
            return Threshold(True, p.high_limit_cut_out, True)
        return Threshold(True, p.high_limit_cut_in, False)
    if cause == CAUSE_THERMAL_CUTOFF:
        return Threshold(s[THERMAL_CUTOFF] == 1, p.thermal_cutoff, True)
    if cause == CAUSE_COIL:
        if s[COIL_WHOLE] == 1:
            return Threshold(True, p.coil_open_temp, True)
        return Threshold(True, p.coil_reclose_temp, False)
    if cause == CAUSE_STOP_MOISTURE:
        return Threshold(p.stop_moisture >= 0.0, p.stop_moisture, False)
    if cause == CAUSE_MARKED_MOISTURE:
        return Threshold(s[MARK_PASSED] == 0, p.marked_moisture, False)
    if cause == CAUSE_MID_DRYING:
        return Threshold(s[MIDWAY_PASSED] == 0, mid_drying_moisture(p, c), False)
    return Threshold(cause == CAUSE_SCORCHING, p.scorch_temp, True)


def quantity(cause: int, y: Vector, rate: Vector, c: Constants) -> Quantity:
    """What `cause` watches, a function of the state, and how fast it changes.

    Parameters
    ----------
    cause : int
        One of THRESHOLD_CAUSES.
    y, rate : array of float, shape (N_STATES,)
        State, and its rates per second.
    c : Constants
        Of the run.
    """
    if cause == CAUSE_EXHAUST_THERMOSTAT:
        return Quantity(y[EXHAUST_ELEMENT], rate[EXHAUST_ELEMENT])
    if cause == CAUSE_COIL:
        return Quantity(y[COIL_TEMP], rate[COIL_TEMP])
    if cause == CAUSE_HIGH_LIMIT:
        return Quantity(y[HIGH_LIMIT_ELEMENT], rate[HIGH_LIMIT_ELEMENT])
    if cause == CAUSE_THERMAL_CUTOFF:
        return Quantity(y[CUTOFF_ELEMENT], rate[CUTOFF_ELEMENT])
    if cause == CAUSE_SCORCHING:
        heat = hottest_piece(y, rate, c.pieces)
        return Quantity(heat.temp, heat.rate)
    return Quantity(mean_moisture(y, c.pieces), mean_moisture(rate, c.pieces))


def mid_drying_moisture(p: Parameters, c: Constants) -> float:
    """Moisture at which the air side is probed [kg/kg]: half way through bulk drying."""
    start = c.start_moisture
    return start - 0.5 * (start - min(critical_moisture(p), 0.5 * start))


def switch(cause: int, y: Vector, s: Flags, p: Parameters) -> None:
    """Carry out the switching of `cause` on the discrete state."""
    if cause == CAUSE_EXHAUST_THERMOSTAT:
        s[EXHAUST_THERMOSTAT] = 1 - s[EXHAUST_THERMOSTAT]
    elif cause == CAUSE_HIGH_LIMIT:
        s[HIGH_LIMIT] = 1 - s[HIGH_LIMIT]
    elif cause == CAUSE_THERMAL_CUTOFF:
        s[THERMAL_CUTOFF] = 0
    elif cause == CAUSE_COIL:
        s[COIL_WHOLE] = 1 - s[COIL_WHOLE]
    elif cause == CAUSE_FLAME_SENSOR:
        y[SENSOR_WARMTH] = 1.0 if y[SENSOR_WARMTH] > 0.5 else 0.0
        closed = sensor_contact(s[FLAME_SENSOR] == 1, float(y[SENSOR_WARMTH]), int(p.sensor_stuck))
        s[FLAME_SENSOR] = 1 if closed else 0
    elif cause == CAUSE_DIAL:
        y[DIAL] = stretch_end(s[STRETCH], p.dial_heat, p.dial_cool_down)
        s[STRETCH] += 1
    elif cause == CAUSE_MOTOR_LET_GO:
        s[RUNNING] = 0
    elif cause == CAUSE_MARKED_MOISTURE:
        s[MARK_PASSED] = 1
    elif cause == CAUSE_MID_DRYING:
        s[MIDWAY_PASSED] = 1


def interrupt(what: int, s: Flags) -> None:
    """Carry out something that happens to the machine from outside."""
    if what == DOOR_OPENED:
        s[DOOR] = 0
    elif what == DOOR_CLOSED:
        s[DOOR] = 1
    elif what == START_PRESSED:
        s[START] = 1
    elif what == POWER_CUT:
        s[SUPPLY] = 0
    elif what == POWER_BACK:
        s[SUPPLY] = 1


class Due(NamedTuple):
    """The next switching that depends on time alone."""

    time: float  # [s]
    cause: int


def next_time_event(t: float, y: Vector, s: Flags, p: Parameters, d: Drive, interruption: float) -> Due:
    """Time and cause of the next switching that depends on time alone."""
    when, cause = p.time_limit, CAUSE_TIME_LIMIT
    if t < p.motor_stop_time <= when:
        when, cause = p.motor_stop_time, CAUSE_MOTOR_LET_GO
    if interruption <= when:
        when, cause = interruption, CAUSE_INTERRUPTION
    if d.dial_rate > 0.0:
        at = t + (stretch_end(s[STRETCH], p.dial_heat, p.dial_cool_down) - float(y[DIAL])) / d.dial_rate
        if at <= when:
            when, cause = at, CAUSE_DIAL
    if d.warmth_rate != 0.0:
        end = 1.0 if d.warmth_rate > 0.0 else 0.0
        at = t + (end - float(y[SENSOR_WARMTH])) / d.warmth_rate
        if at <= when:
            when, cause = at, CAUSE_FLAME_SENSOR
    return Due(max(when, t), cause)


def already_past(w: Workspace, p: Parameters, c: Constants) -> int:
    """Cause whose threshold the state is beyond at this moment, or NO_CAUSE."""
    for cause in THRESHOLD_CAUSES:
        limit = threshold(cause, w.s, p, c)
        if not limit.waits:
            continue
        value = quantity(cause, w.y, w.k[0], c).value
        if (limit.rising and value >= limit.level) or (not limit.rising and value <= limit.level):
            return cause
    return NO_CAUSE


def earliest_crossing(w: Workspace, h: float, p: Parameters, c: Constants) -> tuple[float, int]:
    """First threshold passed within a step of `h` seconds: position 0 to 1 (2 for none) and cause."""
    theta, which = 2.0, NO_CAUSE
    for cause in THRESHOLD_CAUSES:
        limit = threshold(cause, w.s, p, c)
        if limit.waits:
            at = crossing(cause, limit, w, h, c)
            if at < theta:
                theta, which = at, cause
    return theta, which


def crossing(cause: int, limit: Threshold, w: Workspace, h: float, c: Constants) -> float:
    """Where in a step of `h` seconds the quantity of `cause` passes its level: 0 to 1, or 2.

    On each half of the step the quantity is taken as the cubic through its values and slopes.
    """
    a, middle = quantity(cause, w.y, w.k[0], c), quantity(cause, w.y_mid, w.k_mid, c)
    at = first_crossing(a.value, middle.value, a.slope, middle.slope, 0.5 * h, limit.level, limit.rising)
    if at <= 1.0:
        return 0.5 * at
    b = quantity(cause, w.y_new, w.k[END], c)
    at = first_crossing(middle.value, b.value, middle.slope, b.slope, 0.5 * h, limit.level, limit.rising)
    return 0.5 + 0.5 * at if at <= 1.0 else 2.0
