"""What a technician could read off the machine, noted while a cycle runs.

Everything is noted at switchings, with the state at that moment and the drive before or after it, so that
a run with all readings costs little more than one without.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

from dryermodel.cycle.engine.causes import (
    CAUSE_EXHAUST_THERMOSTAT,
    CAUSE_HIGH_LIMIT,
    CAUSE_MARKED_MOISTURE,
    CAUSE_MID_DRYING,
    CAUSE_THERMAL_CUTOFF,
)
from dryermodel.cycle.engine.constants import Constants
from dryermodel.cycle.engine.equations import Drive, air_side
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.engine.state import (
    DIAL,
    ELECTRIC_ENERGY,
    EXHAUST_ELEMENT,
    GAS_ENERGY,
    mean_moisture,
)
from dryermodel.cycle.engine.strokes import early_and_late, keep
from dryermodel.cycle.engine.switching import EXHAUST_THERMOSTAT, FLAME, HEATER, HIGH_LIMIT, IGNITER, RUNNING
from dryermodel.cycle.engine.workspace import MARK, MARKS, N_MEMORY
from dryermodel.machine.motor import line_current
from dryermodel.physics.moist_air import moist_density

if TYPE_CHECKING:
    from dryermodel.cycle.engine.arrays import Flags, Vector
    from dryermodel.cycle.engine.outcome import Outcome
    from dryermodel.cycle.engine.workspace import Workspace

# Positions in the memory of a run; NaN is "not yet" or "not now".
HEAT_ON_AT = 0  # [s] of the stroke that goes on, or of the last one
FLAME_OUT_AT = 1  # [s] of a gap that the thermostat began
RELIGHT_AT = 2  # [s] first igniter-on in that gap
GLOW_AT = 3  # [s] igniter-on
TRIP_AT = 4  # [s] the high limit's opening
DELAYS = 5  # [s] sum of the ignition delays
LIGHTS = 6  # flames lit by the igniter
NEXT_MARK = 7  # number of the next mark of the clock


class Was(NamedTuple):
    """What went on just before a switching."""

    hot: int
    igniter: int
    running: int


class AirReading(NamedTuple):
    """Exhaust as a technician measures it at the collar."""

    temp: float  # [K]
    flow: float  # [m3/s]
    static: float  # [Pa]


def hot(s: Flags) -> int:
    """Whether heat is being released: a flame, or the electric heater."""
    return 1 if s[FLAME] == 1 or s[HEATER] == 1 else 0


def was(s: Flags) -> Was:
    """What goes on now, to be looked at after a switching."""
    return Was(hot(s), s[IGNITER], s[RUNNING])


def read_air(y: Vector, p: Parameters, c: Constants, d: Drive) -> AirReading:
    """Exhaust temperature, flow and static pressure in state `y` under drive `d`."""
    a = air_side(y, p, c, d)
    w = a.exhaust.air.humidity_ratio
    flow = a.flows.exhaust * (1.0 + w) / moist_density(a.exhaust.air.temp, w, p.pressure)
    return AirReading(a.exhaust.air.temp, flow, a.flows.collar_pressure)


def begin(w: Workspace) -> None:
    """Forget the run before."""
    for i in range(N_MEMORY):
        w.memory[i] = math.nan
    w.memory[DELAYS] = w.memory[LIGHTS] = w.memory[NEXT_MARK] = 0.0
    for i in range(len(w.heat_on)):
        w.heat_on[i] = 0.0
        w.heat_off[i] = 0.0


def look_back(
    cause: int, t: float, p: Parameters, c: Constants, d: Drive, w: Workspace, out: Outcome
) -> None:
    """Note what a switching of `cause` at time `t` [s] finds, under the drive `d` that led to it."""
    if cause == CAUSE_EXHAUST_THERMOSTAT:
        element = w.y[EXHAUST_ELEMENT] + p.bias_rise * d.bias
        air = read_air(w.y, p, c, d)
        if w.s[EXHAUST_THERMOSTAT] == 1:
            note_cut_out(t, air.temp, element, mean_moisture(w.y, c.pieces), out)
        else:
            note_cut_in(t, air.temp, element, out)
    elif cause == CAUSE_MID_DRYING:
        air = read_air(w.y, p, c, d)
        out.mid_drying_exhaust_temp_K = w.y[EXHAUST_ELEMENT]
        out.mid_drying_exhaust_air_temp_K = air.temp
        out.mid_drying_flow_m3_per_s = air.flow
        out.mid_drying_static_Pa = air.static
    elif cause == CAUSE_MARKED_MOISTURE:
        out.time_to_marked_s = t
    elif cause == CAUSE_HIGH_LIMIT:
        note_trip(t, w, out)
    elif cause == CAUSE_THERMAL_CUTOFF:
        out.thermal_cutoff_opened_s = t


def note_cut_out(t: float, air_temp: float, element_temp: float, moisture: float, out: Outcome) -> None:
    """Note an opening of the exhaust thermostat."""
    out.cut_outs += 1.0
    if out.cut_outs == 1.0:
        out.first_cut_out_s = t
        out.first_cut_out_exhaust_temp_K = air_temp
        out.first_cut_out_element_temp_K = element_temp
        out.moisture_at_first_cut_out = moisture
    out.last_cut_out_s = t
    out.last_cut_out_exhaust_temp_K = air_temp
    out.last_cut_out_element_temp_K = element_temp


def note_cut_in(t: float, air_temp: float, element_temp: float, out: Outcome) -> None:
    """Note a closing of the exhaust thermostat."""
    if math.isnan(out.first_cut_in_s):
        out.first_cut_in_s = t
        out.first_cut_in_exhaust_temp_K = air_temp
        out.first_cut_in_element_temp_K = element_temp
    out.last_cut_in_s = t
    out.last_cut_in_exhaust_temp_K = air_temp
    out.last_cut_in_element_temp_K = element_temp


def note_trip(t: float, w: Workspace, out: Outcome) -> None:
    """Note an opening or a closing of the high limit, which is about to change."""
    if w.s[HIGH_LIMIT] == 1:
        out.high_limit_trips += 1.0
        w.memory[TRIP_AT] = t
        if out.high_limit_trips == 1.0:
            out.high_limit_first_trip_s = t
    else:
        out.high_limit_open_time_s += t - w.memory[TRIP_AT]
        w.memory[TRIP_AT] = math.nan


def compare(
    cause: int, t: float, before: Was, p: Parameters, c: Constants, d: Drive, w: Workspace, out: Outcome
) -> None:
    """Note what a switching did: `before` is what went on until then, under drive `d`; the rates are its."""
    now = was(w.s)
    if now.igniter > before.igniter:
        out.ignition_tries += 1.0
        w.memory[GLOW_AT] = t
        if math.isnan(w.memory[RELIGHT_AT]):
            w.memory[RELIGHT_AT] = t
    if before.running == 1 and before.hot == 0 and before.igniter == 0 and now.hot + now.igniter > 0:
        note_pause(p, c, d, w, out)
    if now.hot > before.hot:
        note_light(t, before, p, d, w, out)
    if now.hot < before.hot:
        note_flame_out(cause, t, p, c, d, w, out)
    if now.igniter < before.igniter:
        out.longest_glow_s = max(out.longest_glow_s, t - w.memory[GLOW_AT])
    if now.running < before.running:
        out.motor_power_late_W = motor_power(d, w)


def note_light(t: float, before: Was, p: Parameters, d: Drive, w: Workspace, out: Outcome) -> None:
    """Note that the heat came on."""
    m = w.memory
    out.burner_cycles += 1.0
    if out.burner_cycles == 1.0:
        out.first_light_s = t
        if before.igniter == 1:
            out.plug_power_igniter_W = w.k[0, ELECTRIC_ENERGY]
            out.plug_current_igniter_A = plug_current(p, d, w)
    if before.igniter == 1:
        note_delay(t - m[GLOW_AT], w, out)
    if not math.isnan(m[FLAME_OUT_AT]):
        relit = t if math.isnan(m[RELIGHT_AT]) else m[RELIGHT_AT]
        gap = relit - m[FLAME_OUT_AT]
        if out.heat_off_count == 0.0:
            out.heat_off_first_s = gap
        out.heat_off_count = keep(gap, out.heat_off_count, w.heat_off)
    m[HEAT_ON_AT] = t
    m[FLAME_OUT_AT] = math.nan


def note_delay(delay: float, w: Workspace, out: Outcome) -> None:
    """Note the time from igniter-on to flame [s]."""
    w.memory[DELAYS] += delay
    w.memory[LIGHTS] += 1.0
    if w.memory[LIGHTS] == 1.0:
        out.ignition_delay_first_s = delay
        out.ignition_delay_longest_s = delay
    out.ignition_delay_longest_s = max(out.ignition_delay_longest_s, delay)


def note_flame_out(
    cause: int, t: float, p: Parameters, c: Constants, d: Drive, w: Workspace, out: Outcome
) -> None:
    """Note that the heat went off."""
    m = w.memory
    length = t - m[HEAT_ON_AT]
    by_thermostat = cause == CAUSE_EXHAUST_THERMOSTAT
    if out.burner_cycles == 1.0:
        out.heat_on_first_s = length
    if by_thermostat and m[HEAT_ON_AT] >= out.first_cut_out_s:
        out.heat_on_count = keep(length, out.heat_on_count, w.heat_on)
    m[FLAME_OUT_AT] = t if by_thermostat else math.nan
    m[RELIGHT_AT] = math.nan
    note_hottest(read_air(w.y, p, c, d).temp, out)


def note_hottest(air_temp: float, out: Outcome) -> None:
    """Raise the hottest exhaust air at a flame-out."""
    hottest = out.flame_out_exhaust_temp_max_K
    out.flame_out_exhaust_temp_max_K = air_temp if math.isnan(hottest) else max(hottest, air_temp)


def note_pause(p: Parameters, c: Constants, d: Drive, w: Workspace, out: Outcome) -> None:
    """Note the air at the end of the first gap, before igniter or heater come on again."""
    if out.burner_cycles == 0.0 or not math.isnan(out.heat_off_flow_m3_per_s):
        return
    air = read_air(w.y, p, c, d)
    out.heat_off_exhaust_temp_K = air.temp
    out.heat_off_flow_m3_per_s = air.flow
    out.heat_off_static_Pa = air.static


def look_ahead(p: Parameters, d: Drive, w: Workspace, out: Outcome) -> None:
    """Note the power at the plug that a switching led to; drive and rates are those after it."""
    if math.isnan(out.plug_power_start_W):
        out.plug_power_start_W = w.k[0, ELECTRIC_ENERGY]
        out.plug_current_start_A = plug_current(p, d, w)
        out.motor_power_early_W = motor_power(d, w)
    if math.isnan(out.plug_power_flame_W) and hot(w.s) == 1 and w.s[IGNITER] == 0:
        out.plug_power_flame_W = w.k[0, ELECTRIC_ENERGY]
        out.plug_current_flame_A = plug_current(p, d, w)
    gap = out.burner_cycles > 0.0 and hot(w.s) == 0 and w.s[IGNITER] == 0 and w.s[RUNNING] == 1
    if math.isnan(out.plug_power_heat_off_W) and gap:
        out.plug_power_heat_off_W = w.k[0, ELECTRIC_ENERGY]
        out.plug_current_heat_off_A = plug_current(p, d, w)


def motor_power(d: Drive, w: Workspace) -> float:
    """Power of the motor [W]: what the plug gives and nothing else takes."""
    return float(w.k[0, ELECTRIC_ENERGY]) - (d.timer + d.igniter + d.valves + d.heater)


def plug_current(p: Parameters, d: Drive, w: Workspace) -> float:
    """Current at the plug [A]."""
    return line_current(motor_power(d, w), d.timer + d.igniter + d.valves + d.heater, p.line_voltage)


def pass_marks(until: float, w: Workspace) -> None:
    """Note dial and gas at the marks of the clock up to time `until` [s], at which the state stands.

    Between two switchings both run at constant rates, which are those of the state.
    """
    n = int(w.memory[NEXT_MARK])
    while n < MARKS and MARK * (n + 1) <= until:
        back = until - MARK * (n + 1)
        w.dial_marks[n] = w.y[DIAL] - back * w.k[0, DIAL]
        w.gas_marks[n] = w.y[GAS_ENERGY] - back * w.k[0, GAS_ENERGY]
        n += 1
    w.memory[NEXT_MARK] = n


def finish(t: float, d: Drive, w: Workspace, out: Outcome) -> None:
    """Note what is known only at the end of a run, at time `t` [s]."""
    m = w.memory
    on, off = early_and_late(out.heat_on_count, w.heat_on), early_and_late(out.heat_off_count, w.heat_off)
    out.heat_on_early_s = on.early
    out.heat_on_late_s = on.late
    out.heat_off_early_s = off.early
    out.heat_off_late_s = off.late
    if m[LIGHTS] > 0.0:
        out.ignition_delay_mean_s = m[DELAYS] / m[LIGHTS]
    if not math.isnan(m[TRIP_AT]):
        out.high_limit_open_time_s += t - m[TRIP_AT]
    if w.s[IGNITER] == 1:
        out.longest_glow_s = max(out.longest_glow_s, t - m[GLOW_AT])
    if hot(w.s) == 1 and out.burner_cycles == 1.0:
        out.heat_on_first_s = t - m[HEAT_ON_AT]
    if w.s[RUNNING] == 1:
        out.motor_power_late_W = motor_power(d, w)
    for i in range(int(m[NEXT_MARK]), MARKS):
        w.dial_marks[i] = w.y[DIAL]
        w.gas_marks[i] = w.y[GAS_ENERGY]
    write_marks(w, out)


def write_marks(w: Workspace, out: Outcome) -> None:
    """Write dial and gas at the marks of the clock under their names."""
    out.dial_at_5min_s = w.dial_marks[0]
    out.dial_at_10min_s = w.dial_marks[1]
    out.dial_at_15min_s = w.dial_marks[2]
    out.dial_at_20min_s = w.dial_marks[3]
    out.dial_at_25min_s = w.dial_marks[4]
    out.dial_at_30min_s = w.dial_marks[5]
    out.dial_at_35min_s = w.dial_marks[6]
    out.dial_at_40min_s = w.dial_marks[7]
    out.dial_at_45min_s = w.dial_marks[8]
    out.dial_at_50min_s = w.dial_marks[9]
    out.dial_at_55min_s = w.dial_marks[10]
    out.dial_at_60min_s = w.dial_marks[11]
    out.gas_at_5min_J = w.gas_marks[0]
    out.gas_at_10min_J = w.gas_marks[1]
    out.gas_at_15min_J = w.gas_marks[2]
    out.gas_at_20min_J = w.gas_marks[3]
    out.gas_at_25min_J = w.gas_marks[4]
    out.gas_at_30min_J = w.gas_marks[5]
    out.gas_at_35min_J = w.gas_marks[6]
    out.gas_at_40min_J = w.gas_marks[7]
    out.gas_at_45min_J = w.gas_marks[8]
    out.gas_at_50min_J = w.gas_marks[9]
    out.gas_at_55min_J = w.gas_marks[10]
    out.gas_at_60min_J = w.gas_marks[11]
