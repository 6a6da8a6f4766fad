"""The smooth part of the cycle: state and energised loads in, rates out.

Between two switchings the machine is an ordinary differential equation. The air side has no memory
(its residence time is seconds), so every evaluation walks once with the air: room, burner, drum,
metal, screen, blower, vent. The same source runs interpreted and compiled.

The load's state is its enthalpy and moisture, from which its temperature follows; energy and water
balances are then linear in the state and close to rounding whatever the step size.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from dryermodel.cycle.engine.parameters import (
    AIR_ENTHALPY_IN,
    AIR_ENTHALPY_OUT,
    COIL_TEMP,
    DIAL,
    ELECTRIC_ENERGY,
    EXHAUST_ELEMENT,
    GAS_ENERGY,
    HEAT_LOST,
    HIGH_LIMIT_ELEMENT,
    LOAD_ENTHALPY,
    METAL_TEMP,
    MOISTURE,
    ROOM_HUMIDITY,
    SENSOR_WARMTH,
    WATER_FORMED,
    WATER_IN,
    WATER_OUT,
    Parameters,
)
from dryermodel.machine.thermostats import lag_rate
from dryermodel.physics.airflow import Flows, VentLine, blockage_loss, solve_network
from dryermodel.physics.drum import drum_exchange, metal_exchange, transfer_conductance
from dryermodel.physics.moist_air import (
    enthalpy,
    humidity_ratio,
    moist_density,
    moist_specific_heat,
    saturation_pressure,
    temperature_from_enthalpy,
    water_enthalpy,
)
from dryermodel.physics.textile import load_temperature, surface_wetness, water_activity

if TYPE_CHECKING:
    from dryermodel.cycle.engine.arrays import Vector

FUEL_WATER_DATUM = 298.15
"""Temperature [K] at which heating values count formed water as liquid (gross) or vapour (net)."""

CONDENSATION_RATE = 0.1
"""Rate [1/s] at which a room's humidity above saturation condenses on walls and windows, assumed quick."""

STILL_DRUM = 0.05
"""Share of the tumbling load's transfer that a standing drum keeps [1], assumed."""

PICK_UP_FLOW = 0.01
"""Intake flow [kg/s] at which the air takes up half of what it can of motor and igniter heat, assumed."""


COLDEST_LOAD, HOTTEST_LOAD = 150.0, 900.0
"""Bounds [K] on the load's temperature as the equations see it: a trial stage of a step that is about
to be rejected may stray far, and must still return numbers."""


class Drive(NamedTuple):
    """What the machine does to the smooth equations until the next switching."""

    fan: float  # 1 motor runs, 0 stands
    flame: float  # 1 lit, 0 not
    gas_flow: float  # [W] gross energy of the gas that flows, lit or not
    heater: float  # [W] electric heater
    igniter: float  # [W]
    valves: float  # [W] coils
    motor: float  # [W]
    timer: float  # [W]
    dial_rate: float  # [1] seconds of dial travel per second
    warmth_rate: float  # [1/s] of the flame sensor
    coil: float  # 1 main coil energised, 0 not
    bias: float  # 1 bias heater energised, 0 not


class Air(NamedTuple):
    """The air side at one instant, SI; dry-air flows in kg/s."""

    load_temp: float
    room_enthalpy: float
    room_humidity_ratio: float
    burner_flow: float
    drum_flow: float
    exhaust_flow: float
    leak_share: float  # [1] of the exhaust that leaves through the vent joint
    heat_released: float  # [W] gross
    side_heat: float  # [W] of motor and igniter, taken up by the intake air
    burner_temp: float
    inlet_temp: float
    inlet_humidity_ratio: float
    convection: float  # [W]
    evaporation: float  # [kg/s]
    vapour_heat: float  # [W]
    metal_heat: float  # [W]
    exhaust_temp: float
    exhaust_humidity_ratio: float
    collar_pressure: float  # [Pa]
    blower_suction: float  # [Pa]
    room_density: float  # [kg/m3] moist air


def vent_line(p: Parameters) -> VentLine:
    """The vent of parameter set `p` as the air network needs it."""
    return VentLine(
        p.vent_diameter,
        p.vent_length,
        p.vent_roughness,
        p.vent_flex_factor,
        p.vent_minor_loss + blockage_loss(p.vent_open_fraction),
        p.vent_resistance_factor,
    )


def flows(p: Parameters, fan: float, moisture: float, room_density: float, drum_density: float) -> Flows:
    """Moist-air flows of the machine [kg/s].

    The lint screen's loss grows in proportion to the water already removed; what has settled behind it
    stays, and is passed by the same flow.

    Parameters
    ----------
    p : Parameters
        The parameter set.
    fan : float
        1 with the motor running, 0 without.
    moisture : float
        Present moisture [kg/kg]; decides how far the screen has loaded up.
    room_density, drum_density : float
        Moist-air densities [kg/m3].
    """
    removed = 1.0 - min(moisture / p.initial_moisture, 1.0)
    speed = p.fan_speed * fan
    return solve_network(
        room_density,
        drum_density,
        drum_density,
        p.reference_density,
        p.burner_loss,
        p.load_loss,
        p.screen_loss * (1.0 + p.screen_loading * removed) + p.housing_loss,
        p.drum_seal_area,
        p.gasket_area,
        p.joint_area,
        p.leak_coefficient,
        p.fan_dead_head * speed * speed,
        p.fan_slope,
        vent_line(p),
        p.vent_back_pressure + p.house_depressurisation,
    )


def air_side(
    load_enthalpy: float,
    moisture_state: float,
    metal_temp: float,
    room_humidity: float,
    p: Parameters,
    d: Drive,
) -> Air:
    """Walk once with the air through the machine.

    Drum-side densities are taken at the load's temperature and nine tenths of the way to its surface
    humidity, within a few kelvin of the air that leaves it; this keeps the walk free of iteration
    and moves the mass flow by less than one percent.

    Parameters
    ----------
    load_enthalpy : float
        [J].
    moisture_state : float
        [kg/kg] dry basis; a rounding excursion below zero counts as zero.
    metal_temp : float
        [K].
    room_humidity : float
        [kg/kg].
    p : Parameters
        The parameter set.
    d : Drive
        Energised loads.

    Returns
    -------
    Air
        Temperatures, humidities and flows.
    """
    x = max(moisture_state, 0.0)
    load_temp = load_temperature(
        load_enthalpy, x, p.dry_mass, p.dry_specific_heat, p.sorption_share, p.sorption_heat_dry
    )
    load_temp = min(max(load_temp, COLDEST_LOAD), HOTTEST_LOAD)
    activity = water_activity(x, load_temp, p.sorption_share, p.sorption_heat_dry)
    surface = humidity_ratio(activity * saturation_pressure(load_temp), p.pressure)

    room_density = moist_density(p.room_temp, room_humidity, p.pressure)
    leaving_humidity = room_humidity + 0.9 * (surface - room_humidity)
    drum_density = moist_density(load_temp, leaving_humidity, p.pressure)
    f = flows(p, d.fan, x, room_density, drum_density)
    dry = 1.0 / (1.0 + room_humidity)
    burner_flow = max(f.burner * dry, p.natural_draught)
    drum_flow = burner_flow + f.drum_seal * dry
    exhaust_flow = drum_flow + f.gasket * dry

    room_enthalpy = enthalpy(p.room_temp, room_humidity)
    released = min(d.gas_flow * d.flame, burner_flow / max(p.air_per_energy, 1.0e-12))
    formed = released * p.water_per_energy
    burner_humidity = room_humidity + formed / burner_flow
    burner_heat = released + formed * water_enthalpy(FUEL_WATER_DATUM) + d.heater
    side_heat = (p.motor_heat_share * d.motor + d.igniter) * burner_flow / (burner_flow + PICK_UP_FLOW)
    burner_heat += side_heat
    burner_enthalpy = room_enthalpy + burner_heat / burner_flow
    burner_temp = temperature_from_enthalpy(burner_enthalpy, burner_humidity)

    share = burner_flow / drum_flow
    inlet_humidity = room_humidity + share * (burner_humidity - room_humidity)
    inlet_enthalpy = room_enthalpy + share * (burner_enthalpy - room_enthalpy)
    inlet_temp = temperature_from_enthalpy(inlet_enthalpy, inlet_humidity)

    conductance = transfer_conductance(
        drum_flow,
        p.dry_mass,
        max(p.tumbling * d.fan, STILL_DRUM),
        p.transfer_base,
        p.transfer_flow,
        p.transfer_exponent,
        p.reference_load,
        p.small_load_exponent,
        p.overload_mass,
    )
    ex = drum_exchange(
        drum_flow,
        inlet_temp,
        inlet_humidity,
        load_temp,
        surface,
        surface_wetness(x, p.critical_moisture),
        conductance,
        p.lewis_factor,
    )
    out_humidity = inlet_humidity + ex.evaporation / drum_flow
    out_enthalpy = inlet_enthalpy + (ex.vapour_heat - ex.convection) / drum_flow
    out_temp = temperature_from_enthalpy(out_enthalpy, out_humidity)
    capacity_rate = drum_flow * moist_specific_heat(out_humidity)
    metal_heat = metal_exchange(capacity_rate, p.drum_conductance, out_temp, metal_temp)

    share = drum_flow / exhaust_flow
    exhaust_humidity = room_humidity + share * (out_humidity - room_humidity)
    past_metal = out_enthalpy - metal_heat / drum_flow
    exhaust_enthalpy = room_enthalpy + share * (past_metal - room_enthalpy)
    return Air(
        load_temp,
        room_enthalpy,
        room_humidity,
        burner_flow,
        drum_flow,
        exhaust_flow,
        f.joint / f.total if f.total > 0.0 else 0.0,
        released,
        side_heat,
        burner_temp,
        inlet_temp,
        inlet_humidity,
        ex.convection,
        ex.evaporation,
        ex.vapour_heat,
        metal_heat,
        temperature_from_enthalpy(exhaust_enthalpy, exhaust_humidity),
        exhaust_humidity,
        f.collar_pressure,
        f.suction,
        room_density,
    )


def derivatives(y: Vector, p: Parameters, d: Drive, rate: Vector) -> None:
    """Rates of all states, written into `rate`.

    Parameters
    ----------
    y : sequence of float, shape (N_STATES,)
        State; see :mod:`dryermodel.cycle.engine.parameters` for order and units.
    p : Parameters
        The parameter set.
    d : Drive
        Energised loads.
    rate : array of float, shape (N_STATES,)
        Filled with dy/dt.
    """
    metal_temp = float(y[METAL_TEMP])
    a = air_side(float(y[LOAD_ENTHALPY]), float(y[MOISTURE]), metal_temp, float(y[ROOM_HUMIDITY]), p, d)

    rate[LOAD_ENTHALPY] = a.convection - a.vapour_heat
    rate[MOISTURE] = -a.evaporation / p.dry_mass
    cabinet = p.cabinet_conductance * (metal_temp - p.room_temp)
    rate[METAL_TEMP] = (a.metal_heat - cabinet) / p.drum_heat_capacity
    rate[EXHAUST_ELEMENT] = lag_rate(float(y[EXHAUST_ELEMENT]), a.exhaust_temp, p.exhaust_lag)
    felt = p.room_temp + p.high_limit_coupling * (a.burner_temp - p.room_temp)
    rate[HIGH_LIMIT_ELEMENT] = lag_rate(float(y[HIGH_LIMIT_ELEMENT]), felt, p.high_limit_lag)
    rate[COIL_TEMP] = lag_rate(float(y[COIL_TEMP]), p.room_temp + p.coil_rise * d.coil, p.coil_lag)
    rate[SENSOR_WARMTH] = d.warmth_rate
    rate[DIAL] = d.dial_rate

    room_air = p.room_volume * a.room_density
    leaked = a.leak_share * a.exhaust_flow
    renewed = a.exhaust_flow - leaked + p.room_air_exchange * room_air
    gain = leaked * (a.exhaust_humidity_ratio - a.room_humidity_ratio)
    gain += renewed * (p.room_humidity_ratio - a.room_humidity_ratio)
    if a.leak_share > 0.0:
        saturated = humidity_ratio(saturation_pressure(p.room_temp), p.pressure)
        gain -= CONDENSATION_RATE * room_air * max(a.room_humidity_ratio - saturated, 0.0)
    rate[ROOM_HUMIDITY] = gain / room_air

    rate[GAS_ENERGY] = d.gas_flow
    rate[ELECTRIC_ENERGY] = d.motor + d.timer + d.igniter + d.valves + d.heater
    rate[WATER_IN] = a.exhaust_flow * a.room_humidity_ratio
    rate[WATER_FORMED] = a.heat_released * p.water_per_energy
    rate[WATER_OUT] = a.exhaust_flow * a.exhaust_humidity_ratio
    rate[AIR_ENTHALPY_IN] = a.exhaust_flow * a.room_enthalpy
    rate[AIR_ENTHALPY_OUT] = a.exhaust_flow * enthalpy(a.exhaust_temp, a.exhaust_humidity_ratio)
    idle = d.timer + d.valves + d.motor + d.igniter - a.side_heat
    rate[HEAT_LOST] = cabinet + idle + d.gas_flow - a.heat_released
