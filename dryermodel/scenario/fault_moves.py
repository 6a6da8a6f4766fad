"""How each fault moves the parameters: one short function a fault, never the answer itself.

Every function takes parameters and the fault's own physical amount in SI (``faults.toml`` names the
quantity) and returns the fields that change. Shares and resistances multiply what is there, leak
areas, times and temperatures add to it, so that faults combine and act on any scenario.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

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


@dataclass(frozen=True)
class Multiplies:
    """A move that multiplies a field by the amount."""

    field: str

    def __call__(self, p: Parameters, amount: float) -> Change:
        """Return the field that changes."""
        return {self.field: getattr(p, self.field) * amount}


@dataclass(frozen=True)
class Adds:
    """A move that adds the amount to fields, or takes it off several at once, so that their order holds."""

    fields: tuple[str, ...]
    sign: float = 1.0

    def __call__(self, p: Parameters, amount: float) -> Change:
        """Return the fields that change."""
        return {field: getattr(p, field) + self.sign * amount for field in self.fields}


@dataclass(frozen=True)
class Sets:
    """A move that puts fixed values in place, for faults that are either there or not."""

    values: Mapping[str, float]

    def __call__(self, p: Parameters, amount: float) -> Change:
        """Return the fields that change."""
        return dict(self.values)


@dataclass(frozen=True)
class Follows:
    """A move by a relation: a plain function, which JavaScript is made from too, to a record of fields."""

    rule: Callable[[Parameters, float], Any]

    def __call__(self, p: Parameters, amount: float) -> Change:
        """Return the fields of the record."""
        changed: Change = self.rule(p, amount)._asdict()
        return changed


class OpenArea(NamedTuple):
    """What a blocked vent moves."""

    vent_open_area: float


class MinorLoss(NamedTuple):
    """What a stuck flap moves."""

    vent_minor_loss: float


class Friction(NamedTuple):
    """What a crushed duct moves."""

    vent_flex_factor: float


class ScreenLoss(NamedTuple):
    """What a blocked screen moves."""

    screen_loss: float


class HousingLoss(NamedTuple):
    """What lint in the housing moves."""

    housing_loss: float


class Input(NamedTuple):
    """What a low supply pressure moves."""

    firing_rate: float


class Voltage(NamedTuple):
    """What low voltage moves."""

    line_voltage: float
    igniter_warm_up: float
    fan_speed: float
    tumbling: float
    firing_rate: float


class Motor(NamedTuple):
    """What a drum that drags moves."""

    motor_power: float
    tumbling: float


class LetGo(NamedTuple):
    """What a contact that lets the motor go moves."""

    motor_stop_time: float


class Overloaded(NamedTuple):
    """What a start winding left in moves."""

    motor_power: float
    motor_stop_time: float


class Wetter(NamedTuple):
    """What a poor spin moves."""

    piece_moisture: tuple[float, float, float, float]


class Coil(NamedTuple):
    """What a coil that fails hot moves."""

    coil_open_temp: float
    coil_reclose_temp: float


class Intake(NamedTuple):
    """What colder make-up air moves."""

    room_temp: float
    room_humidity_ratio: float


class Humidity(NamedTuple):
    """What a humid room moves."""

    room_humidity_ratio: float


class Elevation(NamedTuple):
    """What thin air moves."""

    pressure: float
    room_humidity_ratio: float
    firing_rate: float


def vent_blockage(p: Parameters, blocked: float) -> OpenArea:
    """Less of the duct's area is open."""
    return OpenArea(p.vent_open_area * (1.0 - blocked))


def vent_flap(p: Parameters, opening: float) -> MinorLoss:
    """The hood's flap opens part way."""
    return MinorLoss(p.vent_minor_loss + blockage_loss(opening))


def vent_crushed(p: Parameters, length: float) -> Friction:
    """Part of the duct is flattened."""
    share = min(length / p.vent_length, 1.0) if p.vent_length > 0.0 else 0.0
    return Friction(p.vent_flex_factor * (1.0 + share * (flattened_friction(CRUSHED_TO) - 1.0)))


def lint_screen(p: Parameters, blocked: float) -> ScreenLoss:
    """The same flow through less mesh: the square law on the speed in what is open."""
    return ScreenLoss(p.screen_loss / (1.0 - blocked) ** 2)


def housing_silted(p: Parameters, lost: float) -> HousingLoss:
    """Lint in the housing takes a pressure at a stated flow."""
    return HousingLoss(p.housing_loss + lost / SILT_FLOW**2)


def low_supply(p: Parameters, manifold: float) -> Input:
    """Gas flow goes with the root of the manifold's pressure."""
    return Input(p.firing_rate * math.sqrt(manifold))


def low_voltage(p: Parameters, share: float) -> Voltage:
    """Motor, igniter and an electric heater at a share of their voltage."""
    speed = speed_at_voltage(share)
    return Voltage(
        p.line_voltage * share,
        warm_up_at_voltage(p.igniter_warm_up, share),
        p.fan_speed * speed,
        p.tumbling * speed,
        p.firing_rate * share**2 if p.heat_source == ELECTRIC_HEAT else p.firing_rate,
    )


def drum_drags(p: Parameters, power: float) -> Motor:
    """The motor works harder and the belt gives."""
    return Motor(p.motor_power * power, p.tumbling * (1.0 - BELT_GIVES * (power - 1.0)))


def lets_go(p: Parameters, after: float) -> LetGo:
    """A contact lets the motor go after a time."""
    return LetGo(min(p.motor_stop_time, after))


def start_winding(p: Parameters, there: float) -> Overloaded:
    """The start winding stays in until the overload lets go."""
    return Overloaded(p.motor_power * START_WINDING_POWER, min(p.motor_stop_time, OVERLOAD_TRIPS))


def button_held(p: Parameters, there: float) -> LetGo:
    """The motor runs only while the button is held."""
    return LetGo(min(p.motor_stop_time, BUTTON_HELD))


def poor_spin(p: Parameters, more: float) -> Wetter:
    """Every kind of cloth that is there holds more water."""
    x, share = p.piece_moisture, p.piece_share
    return Wetter(
        (
            x[0] + more if share[0] > 0.0 else x[0],
            x[1] + more if share[1] > 0.0 else x[1],
            x[2] + more if share[2] > 0.0 else x[2],
            x[3] + more if share[3] > 0.0 else x[3],
        )
    )


def coil_fails_hot(p: Parameters, burn: float) -> Coil:
    """The coil goes open at the warmth that a burn of such a length brings."""
    warmed = p.coil_rise * -math.expm1(-burn / p.coil_lag)
    return Coil(
        min(p.coil_open_temp, p.room_temp + warmed), min(p.coil_reclose_temp, p.room_temp + 0.5 * warmed)
    )


def colder_intake(p: Parameters, colder: float) -> Intake:
    """Colder air of the same relative humidity."""
    rh = relative_humidity(p.room_temp, p.room_humidity_ratio, p.pressure)
    temp = p.room_temp - colder
    return Intake(temp, humidity_ratio_from_rh(temp, rh, p.pressure))


def humid_room(p: Parameters, points: float) -> Humidity:
    """Air of a greater relative humidity."""
    rh = relative_humidity(p.room_temp, p.room_humidity_ratio, p.pressure)
    damper = max(rh, min(rh + points, HUMIDEST_ROOM))
    return Humidity(humidity_ratio_from_rh(p.room_temp, damper, p.pressure))


def altitude(p: Parameters, elevation: float) -> Elevation:
    """Thinner air of the same relative humidity, and the sea-level orifice in it."""
    ratio = standard_pressure(elevation) / STANDARD_PRESSURE
    pressure = p.pressure * ratio
    rh = relative_humidity(p.room_temp, p.room_humidity_ratio, p.pressure)
    return Elevation(
        pressure,
        humidity_ratio_from_rh(p.room_temp, rh, pressure),
        p.firing_rate * math.sqrt(ratio) if p.heat_source == GAS_HEAT else p.firing_rate,
    )


MOVES: dict[str, Move] = {
    # The room first: later moves take its temperature and pressure as they find them.
    "altitude_unadjusted": Follows(altitude),
    "cold_makeup_air": Follows(colder_intake),
    "humid_room": Follows(humid_room),
    "room_depressurised": Adds(("house_depressurisation",)),
    "overload": Multiplies("dry_mass"),
    "wash_spin_poor": Follows(poor_spin),
    "vent_blockage": Follows(vent_blockage),
    "vent_flap_stuck": Follows(vent_flap),
    "vent_crushed": Follows(vent_crushed),
    "lint_screen_blocked": Follows(lint_screen),
    "housing_silted": Follows(housing_silted),
    "blower_wheel_caked": Multiplies("fan_speed"),
    "outlet_gasket_leak": Adds(("gasket_area",)),
    "drum_seal_leak": Adds(("drum_seal_area",)),
    "vent_joint_leak": Adds(("joint_area",)),
    "weak_burner": Multiplies("firing_rate"),
    "wrong_orifice": Multiplies("firing_rate"),
    "low_supply_pressure": Follows(low_supply),
    "gas_shut_off": Sets({"firing_rate": 0.0}),
    "venturi_dusty": Multiplies("primary_air"),
    "low_line_voltage": Follows(low_voltage),
    "igniter_slow": Adds(("igniter_warm_up",)),
    "igniter_open": Sets({"igniter_warm_up": NEVER, "igniter_resistance": NEVER}),
    "flame_sensor_stuck_open": Sets({"sensor_stuck": float(STUCK_OPEN)}),
    "flame_sensor_stuck_closed": Sets({"sensor_stuck": float(STUCK_CLOSED)}),
    "coil_fails_hot": Follows(coil_fails_hot),
    "thermostat_drift": Adds(("cut_out", "cut_in"), -1.0),
    "thermostat_drift_high": Adds(("cut_out", "cut_in")),
    "thermostat_lint_coated": Adds(("exhaust_lag",)),
    "thermostat_stuck_closed": Sets({"cut_out": NEVER, "cut_in": NEVER - 1.0}),
    "thermostat_stuck_open": Sets({"cut_out": 1.0, "cut_in": 0.0}),
    "high_limit_weak": Adds(("high_limit_cut_out", "high_limit_cut_in"), -1.0),
    "thermal_cutoff_open": Sets({"cutoff_intact": 0.0}),
    "timer_motor_dead": Sets({"timer_works": 0.0}),
    "start_winding_stays": Follows(start_winding),
    "hold_contact_open": Follows(button_held),
    "switch_intermittent": Follows(lets_go),
    "drum_drags": Follows(drum_drags),
    "belt_slipping": Multiplies("tumbling"),
    "drum_not_turning": Sets({"tumbling": 0.0}),
}
"""The faults in the order in which they are applied, whatever the order they are given in."""
