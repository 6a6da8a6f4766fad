"""The smooth part of the cycle: state and energised loads in, rates out.

Between two switchings the machine is an ordinary differential equation. The air side has no memory
(its residence time is seconds), so every evaluation walks once with the air: room, burner, drum,
metal, screen, blower, vent. The same source runs interpreted and compiled.

The load's state is its enthalpy and moisture, from which its temperature follows; energy and water
balances are then linear in the state and close to rounding whatever the step size.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from dryermodel.cycle.engine.constants import Constants, network_of
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.engine.state import (
    AIR_ENTHALPY_IN,
    AIR_ENTHALPY_OUT,
    CHAMBER_TEMP,
    COIL_TEMP,
    CUTOFF_ELEMENT,
    DIAL,
    ELECTRIC_ENERGY,
    EXHAUST_ELEMENT,
    GAS_ENERGY,
    HEAT_LOST,
    HIGH_LIMIT_ELEMENT,
    HOUSING_TEMP,
    LOAD_ENTHALPY,
    METAL_TEMP,
    MOISTURE,
    PER_PIECE,
    ROOM_HUMIDITY,
    SENSOR_WARMTH,
    WATER_FORMED,
    WATER_IN,
    WATER_OUT,
    Piece,
    Pieces,
    mean_moisture,
    start_moisture,
    surfaces_of,
)
from dryermodel.machine.thermostats import lag_rate
from dryermodel.physics.airflow import Flows, solve_network, usual_root
from dryermodel.physics.drum import (
    Exchange,
    Exchanges,
    LoadSurface,
    Surfaces,
    drum_exchanges,
    drum_stream,
    exchange_sum,
    load_surface,
    metal_exchange,
    transfer_conductance,
)
from dryermodel.physics.moist_air import (
    enthalpy,
    moist_density,
    moist_specific_heat,
    temperature_from_enthalpy,
    water_enthalpy,
)

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


class RoomAir(NamedTuple):
    """The air the machine draws in."""

    humidity_ratio: float  # [kg/kg]
    enthalpy: float  # [J/kg]
    density: float  # [kg/m3] moist


class DryFlows(NamedTuple):
    """The flows of dry air through the machine [kg/s], and what the network says of pressures."""

    burner: float
    drum: float
    exhaust: float
    leak_share: float  # [1] of the exhaust that leaves through the vent joint
    collar_pressure: float  # [Pa]
    blower_suction: float  # [Pa]


class Parcel(NamedTuple):
    """Air at one place in the machine."""

    temp: float  # [K]
    humidity_ratio: float  # [kg/kg]
    enthalpy: float  # [J/kg]


class Cabinet(NamedTuple):
    """The air in the cabinet, on its way to burner and drum seal."""

    air: Parcel
    motor: float  # [W] electric power of the motor
    side_heat: float  # [W] of motor and igniter, taken up by it
    shell_loss: float  # [W] from the drum's metal through the shell
    returned: float  # [W] of that loss, taken up by it


class Burner(NamedTuple):
    """What the burner does to the air that passes it."""

    air: Parcel  # past burner and chamber
    heat_released: float  # [W] gross
    chamber_heat: float  # [W] from the air to the chamber's metal


class Drum(NamedTuple):
    """What happens to the air in the drum."""

    air: Parcel  # past load and metal
    exchanges: Exchanges
    metal_heat: float  # [W] from the air to the drum


class Exhaust(NamedTuple):
    """What happens to the air between drum and vent."""

    air: Parcel  # past blower housing and outlet duct
    housing_heat: float  # [W] from the air to their metal


class Air(NamedTuple):
    """The air side at one instant."""

    room: RoomAir
    flows: DryFlows
    surfaces: Surfaces
    load: LoadSurface
    cabinet: Cabinet
    burner: Burner
    inlet: Parcel  # of the drum
    drum: Drum
    exhaust: Exhaust


def flows(p: Parameters, fan: float, moisture: float, room_density: float, drum_density: float) -> Flows:
    """Moist-air flows of the machine [kg/s], for a single look at it.

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
    net = network_of(p)
    growth = screen_growth(p, moisture, start_moisture(p))
    return solve_network(net, usual_root(net, p.reference_density), fan, growth, room_density, drum_density)


def screen_growth(p: Parameters, moisture: float, start: float) -> float:
    """Loss of the lint screen over that of the clean one [1]: it grows with the water already removed.

    What has settled behind it stays, and is passed by the same flow.

    Parameters
    ----------
    p : Parameters
        The parameter set.
    moisture, start : float
        Of the whole load, now and at the start [kg/kg].
    """
    return 1.0 + p.screen_loading * (1.0 - min(max(moisture, 0.0) / start, 1.0))


def room_air(p: Parameters, humidity: float) -> RoomAir:
    """The room's air at humidity ratio `humidity` [kg/kg].

    A leaking vent fills a small room within seconds, and a step that is too long for that and will be
    refused may look at less than no water on its way.
    """
    w = max(humidity, 0.0)
    return RoomAir(w, enthalpy(p.room_temp, w), moist_density(p.room_temp, w, p.pressure))


def dry_flows(
    y: Vector, p: Parameters, c: Constants, fan: float, room: RoomAir, load: LoadSurface
) -> DryFlows:
    """Flows of dry air through the machine.

    Drum-side densities are taken at the load's temperature and nine tenths of the way to its surface
    humidity, cooler and moister than the air that leaves it; this keeps the walk free of iteration. Against
    the density that the leaving air has, the mass flow is 1 to 4 % high in bulk drying and at most 5 % off;
    the time to dry moves by less than half a percent.
    """
    leaving = room.humidity_ratio + 0.9 * (load.humidity_ratio - room.humidity_ratio)
    density = moist_density(load.temp, leaving, p.pressure)
    growth = screen_growth(p, mean_moisture(y, c.pieces), c.start_moisture)
    f = solve_network(c.network, c.vent_root, fan, growth, room.density, density)
    dry = 1.0 / (1.0 + room.humidity_ratio)
    burner = max(f.burner * dry, p.natural_draught)
    drum = burner + f.drum_seal * dry
    leak_share = f.joint / f.total if f.total > 0.0 else 0.0
    return DryFlows(burner, drum, drum + f.gasket * dry, leak_share, f.collar_pressure, f.suction)


def parcel(air_enthalpy: float, humidity: float) -> Parcel:
    """Air of an enthalpy [J/kg] and a humidity ratio [kg/kg]."""
    return Parcel(temperature_from_enthalpy(air_enthalpy, humidity), humidity, air_enthalpy)


def mixed(room: RoomAir, air: Parcel, share: float) -> Parcel:
    """Air of which `share` is `air` and the rest the room's."""
    return parcel(
        room.enthalpy + share * (air.enthalpy - room.enthalpy),
        room.humidity_ratio + share * (air.humidity_ratio - room.humidity_ratio),
    )


def past_metal(air: Parcel, flow: float, heat: float) -> Parcel:
    """Air of which `flow` [kg/s] has given `heat` [W] to metal."""
    return parcel(air.enthalpy - heat / flow, air.humidity_ratio)


def heat_to_metal(air: Parcel, flow: float, conductance: float, metal_temp: float) -> float:
    """Heat [W] from `flow` [kg/s] of passing air to metal of a UA [W/K]."""
    rate = flow * moist_specific_heat(air.humidity_ratio)
    return metal_exchange(rate, conductance, air.temp, metal_temp)


def motor_power(y: Vector, p: Parameters, c: Constants, d: Drive) -> float:
    """Electric power of the motor [W]: it falls with the water, since a lighter load is tumbled."""
    removed = 1.0 - min(max(mean_moisture(y, c.pieces), 0.0) / c.start_moisture, 1.0)
    return d.motor * (1.0 - p.motor_power_fall * removed)


def cabinet_side(y: Vector, p: Parameters, c: Constants, d: Drive, room: RoomAir, f: DryFlows) -> Cabinet:
    """Air in the cabinet: the room's, warmed by motor, igniter and the drum's shell.

    Little air takes up little of it; the rest goes to the room.
    """
    flow = f.burner + p.seal_from_cabinet * (f.drum - f.burner)
    taken = flow / (flow + PICK_UP_FLOW)
    motor = motor_power(y, p, c, d)
    side_heat = (p.motor_heat_share * motor + d.igniter) * taken
    shell_loss = p.cabinet_conductance * (float(y[METAL_TEMP]) - p.room_temp)
    returned = p.cabinet_share * shell_loss * taken
    air = parcel(room.enthalpy + (side_heat + returned) / flow, room.humidity_ratio)
    return Cabinet(air, motor, side_heat, shell_loss, returned)


def burner_side(y: Vector, p: Parameters, d: Drive, intake: Parcel, flow: float) -> Burner:
    """Air past burner and chamber, `flow` [kg/s] of it; what it cannot burn passes unburned."""
    released = min(d.gas_flow * d.flame, flow / max(p.air_per_energy, 1.0e-12))
    formed = released * p.water_per_energy
    heat = released + formed * water_enthalpy(FUEL_WATER_DATUM) + d.heater
    hot = parcel(intake.enthalpy + heat / flow, intake.humidity_ratio + formed / flow)
    chamber_heat = heat_to_metal(hot, flow, p.chamber_conductance, float(y[CHAMBER_TEMP]))
    return Burner(past_metal(hot, flow, chamber_heat), released, chamber_heat)


def drum_inlet(p: Parameters, room: RoomAir, cabinet: Parcel, burner: Parcel, f: DryFlows) -> Parcel:
    """Burner's air mixed with what the drum seal lets in: cabinet air, room air or both."""
    share = f.burner / f.drum
    seal = p.seal_from_cabinet * (1.0 - share)
    warmth = share * (burner.enthalpy - room.enthalpy) + seal * (cabinet.enthalpy - room.enthalpy)
    return parcel(
        room.enthalpy + warmth,
        room.humidity_ratio + share * (burner.humidity_ratio - room.humidity_ratio),
    )


def exhaust_side(y: Vector, p: Parameters, room: RoomAir, drum: Parcel, f: DryFlows) -> Exhaust:
    """Drum's air mixed with what the gasket lets in, past blower housing and outlet duct."""
    mix = mixed(room, drum, f.drum / f.exhaust)
    housing_heat = heat_to_metal(mix, f.exhaust, p.housing_conductance, float(y[HOUSING_TEMP]))
    return Exhaust(past_metal(mix, f.exhaust, housing_heat), housing_heat)


def drum_side(
    p: Parameters,
    c: Constants,
    fan: float,
    flow: float,
    inlet: Parcel,
    surfaces: Surfaces,
    load: LoadSurface,
    metal_temp: float,
) -> Drum:
    """Air through load and metal, `flow` [kg/s] of it."""
    base = c.transfer_base * max(p.tumbling * fan, STILL_DRUM)
    conductance = transfer_conductance(flow, base, p.transfer_flow, p.transfer_exponent)
    stream = drum_stream(
        flow, inlet.temp, inlet.humidity_ratio, surfaces, load, conductance, p.lewis_factor, p.least_uptake
    )
    exchanges = drum_exchanges(stream, surfaces)
    whole = exchange_sum(exchanges)
    heat = whole.vapour_heat - whole.convection
    out = parcel(inlet.enthalpy + heat / flow, inlet.humidity_ratio + whole.evaporation / flow)
    metal_heat = heat_to_metal(out, flow, p.drum_conductance, metal_temp)
    return Drum(past_metal(out, flow, metal_heat), exchanges, metal_heat)


def air_side(y: Vector, p: Parameters, c: Constants, d: Drive) -> Air:
    """Walk once with the air through the machine.

    Parameters
    ----------
    y : sequence of float, shape (N_STATES,)
        State; see :mod:`dryermodel.cycle.engine.state` for order and units.
    p : Parameters
        The parameter set.
    c : Constants
        Of that parameter set.
    d : Drive
        Energised loads.

    Returns
    -------
    Air
        Temperatures, humidities and flows.
    """
    room = room_air(p, float(y[ROOM_HUMIDITY]))
    surfaces = surfaces_of(y, c.pieces, p.pressure)
    load = load_surface(surfaces)
    f = dry_flows(y, p, c, d.fan, room, load)
    cabinet = cabinet_side(y, p, c, d, room, f)
    burner = burner_side(y, p, d, cabinet.air, f.burner)
    inlet = drum_inlet(p, room, cabinet.air, burner.air, f)
    drum = drum_side(p, c, d.fan, f.drum, inlet, surfaces, load, float(y[METAL_TEMP]))
    exhaust = exhaust_side(y, p, room, drum.air, f)
    return Air(room, f, surfaces, load, cabinet, burner, inlet, drum, exhaust)


def derivatives(y: Vector, p: Parameters, c: Constants, d: Drive, rate: Vector) -> None:
    """Rates of all states, written into `rate`.

    Parameters
    ----------
    y : sequence of float, shape (N_STATES,)
        State; see :mod:`dryermodel.cycle.engine.state` for order and units.
    p : Parameters
        The parameter set.
    c : Constants
        Of that parameter set.
    d : Drive
        Energised loads.
    rate : array of float, shape (N_STATES,)
        Filled with dy/dt.
    """
    a = air_side(y, p, c, d)
    load_rates(a.drum, c.pieces, rate)
    rate[METAL_TEMP] = (a.drum.metal_heat - a.cabinet.shell_loss) / p.drum_heat_capacity
    rate[HOUSING_TEMP] = a.exhaust.housing_heat / p.housing_heat_capacity
    rate[CHAMBER_TEMP] = a.burner.chamber_heat / p.chamber_heat_capacity
    element_rates(y, p, d, a, rate)
    rate[SENSOR_WARMTH] = d.warmth_rate
    rate[DIAL] = d.dial_rate
    rate[ROOM_HUMIDITY] = room_humidity_rate(p, c, a)
    sum_rates(p, d, a, rate)


def load_rates(drum: Drum, pieces: Pieces, rate: Vector) -> None:
    """Rates of the load's enthalpies and moistures."""
    piece_rates(pieces.first, drum.exchanges.first, 0, rate)
    piece_rates(pieces.second, drum.exchanges.second, 1, rate)
    piece_rates(pieces.third, drum.exchanges.third, 2, rate)
    piece_rates(pieces.fourth, drum.exchanges.fourth, 3, rate)


def piece_rates(piece: Piece, e: Exchange, i: int, rate: Vector) -> None:
    """Rates of enthalpy and moisture of kind number `i`; 0 where there is none of it."""
    rate[LOAD_ENTHALPY + PER_PIECE * i] = e.convection - e.vapour_heat
    rate[MOISTURE + PER_PIECE * i] = -e.evaporation / piece.cloth.dry_mass if piece.share > 0.0 else 0.0


def element_rates(y: Vector, p: Parameters, d: Drive, a: Air, rate: Vector) -> None:
    """Rates of the elements of thermostat, high limit and cut-off, and of the valve's main coil."""
    metal = float(y[HOUSING_TEMP]) - a.exhaust.air.temp
    felt = a.exhaust.air.temp + p.exhaust_metal_share * metal
    rate[EXHAUST_ELEMENT] = lag_rate(float(y[EXHAUST_ELEMENT]), felt, p.exhaust_lag)
    burner = a.burner.air.temp
    rise = burner + p.high_limit_metal_share * (float(y[CHAMBER_TEMP]) - burner) - p.room_temp
    limit = p.room_temp + p.high_limit_coupling * rise
    rate[HIGH_LIMIT_ELEMENT] = lag_rate(float(y[HIGH_LIMIT_ELEMENT]), limit, p.high_limit_lag)
    one_shot = p.room_temp + p.cutoff_coupling * rise
    rate[CUTOFF_ELEMENT] = lag_rate(float(y[CUTOFF_ELEMENT]), one_shot, p.cutoff_lag)
    rate[COIL_TEMP] = lag_rate(float(y[COIL_TEMP]), p.room_temp + p.coil_rise * d.coil, p.coil_lag)


def room_humidity_rate(p: Parameters, c: Constants, a: Air) -> float:
    """Rate of the room's humidity ratio [1/s]: what a leaking joint brings, less what is renewed."""
    room_mass = p.room_volume * a.room.density
    leaked = a.flows.leak_share * a.flows.exhaust
    renewed = a.flows.exhaust - leaked + p.room_air_exchange * room_mass
    gain = leaked * (a.exhaust.air.humidity_ratio - a.room.humidity_ratio)
    gain += renewed * (p.room_humidity_ratio - a.room.humidity_ratio)
    if a.flows.leak_share > 0.0:
        fog = max(a.room.humidity_ratio - c.saturated_room, 0.0)
        gain -= CONDENSATION_RATE * room_mass * fog
    return gain / room_mass


def sum_rates(p: Parameters, d: Drive, a: Air, rate: Vector) -> None:
    """Rates of the sums that close the balances."""
    rate[GAS_ENERGY] = d.gas_flow
    rate[ELECTRIC_ENERGY] = electric_power(d, a)
    rate[WATER_IN] = a.flows.exhaust * a.room.humidity_ratio
    rate[WATER_FORMED] = a.burner.heat_released * p.water_per_energy
    rate[WATER_OUT] = a.flows.exhaust * a.exhaust.air.humidity_ratio
    rate[AIR_ENTHALPY_IN] = a.flows.exhaust * a.room.enthalpy
    rate[AIR_ENTHALPY_OUT] = a.flows.exhaust * a.exhaust.air.enthalpy
    idle = d.timer + d.valves + a.cabinet.motor + d.igniter - a.cabinet.side_heat
    shell = a.cabinet.shell_loss - a.cabinet.returned
    rate[HEAT_LOST] = shell + idle + d.gas_flow - a.burner.heat_released


def electric_power(d: Drive, a: Air) -> float:
    """Electric power of the whole machine [W]."""
    return a.cabinet.motor + d.timer + d.igniter + d.valves + d.heater
