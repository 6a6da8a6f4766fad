"""How each fault moves the parameters: one short function a fault, never the answer itself.

Every function takes parameters and the fault's own physical amount in SI (``faults.toml`` names the
quantity) and returns the fields that change. Shares and resistances multiply what is there, leak
areas, times and temperatures add to it, so that faults combine and act on any scenario.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from dryermodel.cycle.engine.parameters import ELECTRIC_HEAT, GAS_HEAT, NEVER, Parameters
from dryermodel.machine.ignition import STUCK_CLOSED, STUCK_OPEN, warm_up_at_voltage
from dryermodel.machine.motor import speed_at_voltage
from dryermodel.physics.duct import blockage_loss, flattened_friction
from dryermodel.physics.moist_air import (
    STANDARD_PRESSURE,
    humidity_ratio_from_rh,
    relative_humidity,
    standard_pressure,
)

Change = dict[str, Any]
"""Fields of `Parameters` that a fault sets."""

Move = Callable[[Parameters, float], Change]

CRUSHED_TO = 0.25
"""Height of a crushed duct, as a share of its diameter [1], assumed."""

SILT_FLOW = 140.0 * 4.719474432e-4
"""Flow [m3/s] at which the loss of a silted housing is stated: 140 cfm."""

BELT_GIVES = 0.3
"""Share of the tumbling lost for each doubling of the motor's power by drag [1], assumed."""

START_WINDING_POWER = 3.0
"""Motor power with the start winding left in, over the usual [1], assumed."""

OVERLOAD_TRIPS = 60.0
"""Time [s] after which the motor's overload then lets go, assumed."""

BUTTON_HELD = 2.0
"""Time [s] for which a person holds the start button, assumed."""

HUMIDEST_ROOM = 0.98
"""Relative humidity [1] a humid room stops at; beyond it fog would stand in the room."""


def _multiplies(field: str) -> Move:
    """Return a move that multiplies a field by the amount."""
    return lambda p, amount: {field: getattr(p, field) * amount}


def _adds(*fields: str) -> Move:
    """Return a move that adds the amount to each field."""
    return lambda p, amount: {field: getattr(p, field) + amount for field in fields}


def _sets(**fields: float) -> Move:
    """Return a move that puts fixed values in place, for faults that are either there or not."""
    return lambda p, amount: dict(fields)


def _lowers(*fields: str) -> Move:
    """Return a move that takes the amount off several set points at once, so that their order holds."""
    return lambda p, amount: {field: getattr(p, field) - amount for field in fields}


def _vent_blockage(p: Parameters, blocked: float) -> Change:
    return {"vent_open_area": p.vent_open_area * (1.0 - blocked)}


def _vent_flap(p: Parameters, opening: float) -> Change:
    return {"vent_minor_loss": p.vent_minor_loss + blockage_loss(opening)}


def _vent_crushed(p: Parameters, length: float) -> Change:
    share = min(length / p.vent_length, 1.0) if p.vent_length > 0.0 else 0.0
    return {"vent_flex_factor": p.vent_flex_factor * (1.0 + share * (flattened_friction(CRUSHED_TO) - 1.0))}


def _lint_screen(p: Parameters, blocked: float) -> Change:
    # The same flow through less mesh: the square law on the speed in what is open.
    return {"screen_loss": p.screen_loss / (1.0 - blocked) ** 2}


def _housing_silted(p: Parameters, lost: float) -> Change:
    return {"housing_loss": p.housing_loss + lost / SILT_FLOW**2}


def _low_supply(p: Parameters, manifold: float) -> Change:
    return {"firing_rate": p.firing_rate * math.sqrt(manifold)}


def _low_voltage(p: Parameters, share: float) -> Change:
    speed = speed_at_voltage(share)
    change = {
        "line_voltage": p.line_voltage * share,
        "igniter_warm_up": warm_up_at_voltage(p.igniter_warm_up, share),
        "fan_speed": p.fan_speed * speed,
        "tumbling": p.tumbling * speed,
    }
    if p.heat_source == ELECTRIC_HEAT:
        change["firing_rate"] = p.firing_rate * share**2
    return change


def _drum_drags(p: Parameters, power: float) -> Change:
    left = 1.0 - BELT_GIVES * (power - 1.0)
    return {"motor_power": p.motor_power * power, "tumbling": p.tumbling * left}


def _lets_go(p: Parameters, after: float) -> Change:
    return {"motor_stop_time": min(p.motor_stop_time, after)}


def _start_winding(p: Parameters, there: float) -> Change:
    return {"motor_power": p.motor_power * START_WINDING_POWER} | _lets_go(p, OVERLOAD_TRIPS)


def _poor_spin(p: Parameters, more: float) -> Change:
    wet = (x + more if share > 0.0 else x for x, share in zip(p.piece_moisture, p.piece_share, strict=True))
    return {"piece_moisture": tuple(wet)}


def _coil_fails_hot(p: Parameters, burn: float) -> Change:
    warmed = p.coil_rise * -math.expm1(-burn / p.coil_lag)
    return {
        "coil_open_temp": min(p.coil_open_temp, p.room_temp + warmed),
        "coil_reclose_temp": min(p.coil_reclose_temp, p.room_temp + 0.5 * warmed),
    }


def _colder_intake(p: Parameters, colder: float) -> Change:
    rh = relative_humidity(p.room_temp, p.room_humidity_ratio, p.pressure)
    temp = p.room_temp - colder
    return {"room_temp": temp, "room_humidity_ratio": humidity_ratio_from_rh(temp, rh, p.pressure)}


def _humid_room(p: Parameters, points: float) -> Change:
    rh = relative_humidity(p.room_temp, p.room_humidity_ratio, p.pressure)
    damper = max(rh, min(rh + points, HUMIDEST_ROOM))
    return {"room_humidity_ratio": humidity_ratio_from_rh(p.room_temp, damper, p.pressure)}


def _altitude(p: Parameters, elevation: float) -> Change:
    ratio = standard_pressure(elevation) / STANDARD_PRESSURE
    pressure = p.pressure * ratio
    rh = relative_humidity(p.room_temp, p.room_humidity_ratio, p.pressure)
    change = {
        "pressure": pressure,
        "room_humidity_ratio": humidity_ratio_from_rh(p.room_temp, rh, pressure),
    }
    if p.heat_source == GAS_HEAT:
        change["firing_rate"] = p.firing_rate * math.sqrt(ratio)
    return change


MOVES: dict[str, Move] = {
    # The room first: later moves take its temperature and pressure as they find them.
    "altitude_unadjusted": _altitude,
    "cold_makeup_air": _colder_intake,
    "humid_room": _humid_room,
    "room_depressurised": _adds("house_depressurisation"),
    "overload": _multiplies("dry_mass"),
    "wash_spin_poor": _poor_spin,
    "vent_blockage": _vent_blockage,
    "vent_flap_stuck": _vent_flap,
    "vent_crushed": _vent_crushed,
    "lint_screen_blocked": _lint_screen,
    "housing_silted": _housing_silted,
    "blower_wheel_caked": _multiplies("fan_speed"),
    "outlet_gasket_leak": _adds("gasket_area"),
    "drum_seal_leak": _adds("drum_seal_area"),
    "vent_joint_leak": _adds("joint_area"),
    "weak_burner": _multiplies("firing_rate"),
    "wrong_orifice": _multiplies("firing_rate"),
    "low_supply_pressure": _low_supply,
    "gas_shut_off": _sets(firing_rate=0.0),
    "venturi_dusty": _multiplies("primary_air"),
    "low_line_voltage": _low_voltage,
    "igniter_slow": _adds("igniter_warm_up"),
    "igniter_open": _sets(igniter_warm_up=NEVER, igniter_resistance=NEVER),
    "flame_sensor_stuck_open": _sets(sensor_stuck=float(STUCK_OPEN)),
    "flame_sensor_stuck_closed": _sets(sensor_stuck=float(STUCK_CLOSED)),
    "coil_fails_hot": _coil_fails_hot,
    "thermostat_drift": _lowers("cut_out", "cut_in"),
    "thermostat_drift_high": _adds("cut_out", "cut_in"),
    "thermostat_lint_coated": _adds("exhaust_lag"),
    "thermostat_stuck_closed": _sets(cut_out=NEVER, cut_in=NEVER - 1.0),
    "thermostat_stuck_open": _sets(cut_out=1.0, cut_in=0.0),
    "high_limit_weak": _lowers("high_limit_cut_out", "high_limit_cut_in"),
    "thermal_cutoff_open": _sets(cutoff_intact=0.0),
    "timer_motor_dead": _sets(timer_works=0.0),
    "start_winding_stays": _start_winding,
    "hold_contact_open": lambda p, there: _lets_go(p, BUTTON_HELD),
    "switch_intermittent": _lets_go,
    "drum_drags": _drum_drags,
    "belt_slipping": _multiplies("tumbling"),
    "drum_not_turning": _sets(tumbling=0.0),
}
"""The faults in the order in which they are applied, whatever the order they are given in."""
