"""The discrete part of the cycle: contacts, what they energise, and what follows from it.

The discrete state is a small integer vector, so that the compiled engine can carry it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryermodel.cycle.engine.equations import Drive
from dryermodel.cycle.engine.parameters import (
    AIR_ONLY,
    AUTO,
    ELECTRIC_HEAT,
    NEVER,
    SHUNT_WHOLE_CHAIN,
    Parameters,
)
from dryermodel.cycle.engine.state import (
    SENSOR_WARMTH,
)
from dryermodel.machine.circuit import Circuit, Contacts, Energised, energise
from dryermodel.machine.ignition import Ignition, valves, warmth_rate
from dryermodel.machine.timer import cam_contacts

if TYPE_CHECKING:
    from dryermodel.cycle.engine.arrays import Flags, Vector

# Positions in the discrete state vector.
SUPPLY = 0
DOOR = 1
RUNNING = 2  # motor at speed: centrifugal contact closed
STRETCH = 3  # of the dial: HEAT, COOL_DOWN, OFF
EXHAUST_THERMOSTAT = 4
HIGH_LIMIT = 5
THERMAL_CUTOFF = 6
FLAME_SENSOR = 7
COIL_WHOLE = 8
FIRST_VALVE = 9
GAS = 10
FLAME = 11
START = 12  # momentary
# Loads, kept for the record and for telling what a switching did.
HEAT_CALL = 13
BURNER_FEED = 14
IGNITER = 15
MAIN_COIL = 16
TIMER_MOTOR = 17
HEATER = 18
BIAS = 19
# What has been passed for good.
MARK_PASSED = 20
MIDWAY_PASSED = 21
N_DISCRETE = 22


def contacts(s: Flags, p: Parameters) -> Contacts:
    """Every contact of the machine, from discrete state `s` and parameters `p`."""
    automatic = p.program == AUTO
    cam = cam_contacts(s[STRETCH], automatic)
    return Contacts(
        s[SUPPLY] == 1,
        s[DOOR] == 1,
        cam.main,
        cam.heat,
        cam.direct,
        automatic,
        p.program != AIR_ONLY,
        p.low_heat == 1.0,
        s[START] == 1,
        s[RUNNING] == 1,
        s[EXHAUST_THERMOSTAT] == 1,
        s[HIGH_LIMIT] == 1,
        s[THERMAL_CUTOFF] == 1,
        s[FLAME_SENSOR] == 1,
        s[COIL_WHOLE] == 1,
    )


def circuit(p: Parameters) -> Circuit:
    """Resistances and wiring of parameter set `p`."""
    heater = 0.0
    if p.heat_source == ELECTRIC_HEAT:
        heater = p.line_voltage * p.line_voltage / max(p.firing_rate, 1.0e-9)
    return Circuit(
        p.line_voltage,
        p.timer_resistance,
        p.igniter_resistance,
        p.holding_resistance,
        p.assist_resistance,
        p.main_coil_resistance,
        heater,
        p.pull_in_share,
        p.timer_wiring == SHUNT_WHOLE_CHAIN,
    )


def settle(s: Flags, y: Vector, p: Parameters) -> Drive:
    """Let contacts, motor and valves follow from one another until nothing changes any more.

    Parameters
    ----------
    s : array of int, shape (N_DISCRETE,)
        Discrete state; motor, valves, flame and the record of loads are updated in place.
    y : sequence of float, shape (N_STATES,)
        State; only the flame sensor's warmth is read.
    p : Parameters
        The parameter set.

    Returns
    -------
    Drive
        What the smooth equations see until the next switching.
    """
    warmth = float(y[SENSOR_WARMTH])
    k = circuit(p)
    e = energise(contacts(s, p), k)
    for _ in range(4):
        before = s[RUNNING] * 8 + s[FIRST_VALVE] * 4 + s[GAS] * 2 + s[FLAME]
        s[RUNNING] = 1 if e.motor else 0
        i = valves(
            Ignition(s[FIRST_VALVE] == 1, s[GAS] == 1, s[FLAME] == 1),
            e.holding,
            e.assist,
            e.main_coil,
            warmth >= 0.5,
            p.firing_rate > 0.0,
        )
        s[FIRST_VALVE] = 1 if i.first_valve else 0
        s[GAS] = 1 if i.gas else 0
        s[FLAME] = 1 if i.flame else 0
        e = energise(contacts(s, p), k)
        if before == s[RUNNING] * 8 + s[FIRST_VALVE] * 4 + s[GAS] * 2 + s[FLAME]:
            break
    s[START] = 0
    glowing = e.igniter and p.igniter_warm_up < 0.5 * NEVER
    note_loads(s, e, glowing, p.timer_works == 1.0)
    return Drive(
        1.0 * s[RUNNING],
        1.0 * s[FLAME],
        p.firing_rate if s[GAS] == 1 else 0.0,
        p.firing_rate if e.heater else 0.0,
        e.igniter_power if glowing else 0.0,
        e.valve_power,
        p.motor_power if e.motor else 0.0,
        e.timer_power,
        p.timer_works if e.timer_motor else 0.0,
        warmth_rate(warmth, glowing or s[FLAME] == 1, p.igniter_warm_up, p.sensor_cool_down),
        1.0 if e.main_coil else 0.0,
        1.0 if e.bias_heater else 0.0,
    )


def note_loads(s: Flags, e: Energised, glowing: bool, timer_works: bool) -> None:
    """Keep the energised loads in the discrete state, for the record.

    An open igniter does not glow and a dead timer motor does not turn, whatever their voltage.
    """
    s[HEAT_CALL] = 1 if e.heat_call else 0
    s[BURNER_FEED] = 1 if e.burner_feed else 0
    s[IGNITER] = 1 if glowing else 0
    s[MAIN_COIL] = 1 if e.main_coil else 0
    s[TIMER_MOTOR] = 1 if e.timer_motor and timer_works else 0
    s[HEATER] = 1 if e.heater else 0
    s[BIAS] = 1 if e.bias_heater else 0
