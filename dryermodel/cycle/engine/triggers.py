"""What can switch the machine, when it is due, and what it does to the discrete state."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryermodel.cycle.engine.equations import Drive
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.engine.state import (
    COIL_TEMP,
    DIAL,
    EXHAUST_ELEMENT,
    HIGH_LIMIT_ELEMENT,
    MOISTURE,
    SENSOR_WARMTH,
)
from dryermodel.cycle.engine.stepper import first_crossing
from dryermodel.cycle.engine.switching import (
    BIAS,
    COIL_WHOLE,
    DOOR,
    EXHAUST_THERMOSTAT,
    FLAME_SENSOR,
    HIGH_LIMIT,
    RUNNING,
    START,
    STRETCH,
    SUPPLY,
    THERMAL_CUTOFF,
)
from dryermodel.machine.circuit import DOOR_CLOSED, DOOR_OPENED, POWER_BACK, POWER_CUT, START_PRESSED
from dryermodel.machine.ignition import sensor_contact
from dryermodel.machine.timer import stretch_end

if TYPE_CHECKING:
    from dryermodel.cycle.engine.arrays import Flags, Matrix, Vector

# Causes of a switching, beyond the contacts' own names.
CAUSE_START = 0
CAUSE_EXHAUST_THERMOSTAT = 1
CAUSE_HIGH_LIMIT = 2
CAUSE_THERMAL_CUTOFF = 3
CAUSE_COIL = 4
CAUSE_MARKED_MOISTURE = 5
CAUSE_STOP_MOISTURE = 6
CAUSE_MID_DRYING = 7
CAUSE_FLAME_SENSOR = 8
CAUSE_DIAL = 9
CAUSE_INTERRUPTION = 10
CAUSE_TIME_LIMIT = 11
CAUSE_MOTOR_LET_GO = 12
N_MONITORS = 7

# What has been passed for good, as bits.
MARKED, MID_DRYING = 1, 2


def monitor(cause: int, y: Vector, s: Flags, p: Parameters, passed: int) -> tuple[int, float, bool]:
    """State, level and direction that cause number `cause` watches for; state -1 when idle."""
    if cause == CAUSE_EXHAUST_THERMOSTAT:
        bias = p.bias_rise * s[BIAS]
        if s[EXHAUST_THERMOSTAT] == 1:
            return EXHAUST_ELEMENT, p.cut_out - bias, True
        return EXHAUST_ELEMENT, p.cut_in - bias, False
    if cause == CAUSE_HIGH_LIMIT:
        if s[HIGH_LIMIT] == 1:
            return HIGH_LIMIT_ELEMENT, p.high_limit_cut_out, True
        return HIGH_LIMIT_ELEMENT, p.high_limit_cut_in, False
    if cause == CAUSE_THERMAL_CUTOFF and s[THERMAL_CUTOFF] == 1:
        return HIGH_LIMIT_ELEMENT, p.thermal_cutoff, True
    if cause == CAUSE_COIL:
        if s[COIL_WHOLE] == 1:
            return COIL_TEMP, p.coil_open_temp, True
        return COIL_TEMP, p.coil_reclose_temp, False
    if cause == CAUSE_STOP_MOISTURE and p.stop_moisture >= 0.0:
        return MOISTURE, p.stop_moisture, False
    if cause == CAUSE_MARKED_MOISTURE and passed & MARKED == 0:
        return MOISTURE, p.marked_moisture, False
    if cause == CAUSE_MID_DRYING and passed & MID_DRYING == 0:
        return MOISTURE, mid_drying_moisture(p), False
    return -1, 0.0, True


def mid_drying_moisture(p: Parameters) -> float:
    """Moisture at which the air side is probed [kg/kg]: half way through bulk drying."""
    return p.initial_moisture - 0.5 * (
        p.initial_moisture - min(p.critical_moisture, 0.5 * p.initial_moisture)
    )


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


def next_time_event(
    t: float, y: Vector, s: Flags, p: Parameters, d: Drive, interruption: float
) -> tuple[float, int]:
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
    return max(when, t), cause


def already_past(y: Vector, s: Flags, p: Parameters, passed: int) -> int:
    """Cause whose threshold the state is beyond at this moment, or -1."""
    for cause in range(1, N_MONITORS + 1):
        state, level, rising = monitor(cause, y, s, p, passed)
        if state >= 0 and ((rising and y[state] >= level) or (not rising and y[state] <= level)):
            return cause
    return -1


def earliest_crossing(
    y: Vector, y_new: Vector, k: Matrix, h: float, s: Flags, p: Parameters, passed: int
) -> tuple[float, int]:
    """First threshold passed within a step: position 0 to 1 (2 for none) and cause."""
    theta, which = 2.0, -1
    for cause in range(1, N_MONITORS + 1):
        state, level, rising = monitor(cause, y, s, p, passed)
        if state < 0:
            continue
        ends, slopes = (float(y[state]), float(y_new[state])), (float(k[0, state]), float(k[3, state]))
        at = first_crossing(ends[0], ends[1], slopes[0], slopes[1], h, level, rising)
        if at < theta:
            theta, which = at, cause
    return theta, which
