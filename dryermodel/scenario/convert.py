"""A checked scenario turned into the plain SI numbers of one cycle."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from dryermodel.cycle.engine import parameters as p
from dryermodel.machine.ignition import warm_up_at_voltage
from dryermodel.machine.motor import speed_at_voltage
from dryermodel.physics import fuel, moist_air, textile
from dryermodel.scenario.faults import apply_faults
from dryermodel.scenario.pieces import UNIFORM, Piece, mean
from dryermodel.scenario.schema import ScenarioModel

DAMP = 0.01
"""Least moisture of a piece that a study makes drier [kg/kg], the least a file admits."""

ALWAYS_CLOSED, ALWAYS_OPEN = "stuck closed", "stuck open"
_PROGRAMS = {"auto": p.AUTO, "timed": p.TIMED, "air only": p.AIR_ONLY}
_TIMER_WIRINGS = {"exhaust thermostat": p.SHUNT_EXHAUST_THERMOSTAT, "whole chain": p.SHUNT_WHOLE_CHAIN}
_SENSOR_STATES = {"works": 0.0, "stuck closed": 1.0, "stuck open": 2.0}


def to_parameters(model: ScenarioModel) -> p.Parameters:
    """Return the SI parameters of one cycle, with the faults that are present.

    Parameters
    ----------
    model : ScenarioModel
        Checked values in SI.

    Returns
    -------
    p.Parameters
        Every field set; coefficients derived by the `physics` functions.
    """
    base = without_faults(model)
    return apply_faults(base, model.faults) if model.faults else base


def without_faults(model: ScenarioModel) -> p.Parameters:
    """Return the SI parameters of the machine, vent, load and room as the sections describe them.

    Parameters
    ----------
    model : ScenarioModel
        Checked values in SI; its faults are left out.
    """
    return p.Parameters(
        **_room(model), **_load(model), **_burner(model), **_air(model), **_vent(model), **_drum(model),
        **_electrics(model), **_ignition(model), **_thermostats(model), **_controls(model), **_limits(model),
    )  # fmt: skip


def ambient_pressure(model: ScenarioModel) -> float:
    """Return the ambient pressure [Pa]: the one given, or the standard atmosphere's."""
    room = model.room
    return room.pressure if room.pressure is not None else moist_air.standard_pressure(room.altitude)


def supplied_gas(model: ScenarioModel) -> fuel.Gas:
    """Return the gas supplied: that of its kind, with what is given in its place."""
    gas = model.gas
    base = fuel.PROPANE if gas.kind == "propane" else fuel.NATURAL_GAS
    given = (gas.heating_value, gas.specific_gravity, gas.water_per_energy, gas.air_per_energy)
    return fuel.Gas(*(base[i] if value is None else value for i, value in enumerate(given)))


def manifold_pressure(model: ScenarioModel) -> float:
    """Return the manifold pressure [Pa] the regulator can hold on this supply."""
    gas = model.gas
    return fuel.manifold_pressure(gas.supply_pressure, gas.manifold_pressure, gas.regulator_drop)


def firing_rate(model: ScenarioModel) -> float:
    """Return the gross input [W] with the valves open, or the electric heater's power.

    From the rating plate, corrected for manifold pressure, gas and altitude; or from the orifice's
    size if that is given. A partly blocked orifice passes its open share.
    """
    burner = model.burner
    if model.machine.heat == "electric":
        return burner.heater_power
    if burner.orifice is not None:
        return _rate_of_orifice(model, burner.orifice)
    rated = fuel.PROPANE if burner.rated_gas == "propane" else fuel.NATURAL_GAS
    actual = supplied_gas(model)
    ratio = fuel.wobbe_index(actual.heating_value, actual.specific_gravity) / fuel.wobbe_index(
        rated.heating_value, rated.specific_gravity
    )
    rate = fuel.fixed_orifice_rate(
        burner.firing_rate,
        manifold_pressure(model),
        burner.rated_manifold_pressure,
        ratio,
        ambient_pressure(model),
    )
    return rate * burner.orifice_open_area


def _rate_of_orifice(model: ScenarioModel, diameter: float) -> float:
    gas, burner = supplied_gas(model), model.burner
    area = 0.25 * math.pi * diameter**2 * burner.orifice_open_area
    flow = fuel.orifice_flow(area, manifold_pressure(model), gas.specific_gravity, burner.orifice_discharge)
    sea_level = fuel.firing_rate(flow, gas.heating_value)
    return fuel.fixed_orifice_rate(sea_level, 1.0, 1.0, 1.0, ambient_pressure(model))


def voltage_share(model: ScenarioModel) -> float:
    """Return the line voltage over that of the rating plate [1]."""
    m = model.machine
    return 1.0 if m.rated_voltage is None else m.line_voltage / m.rated_voltage


def _room(model: ScenarioModel) -> dict[str, Any]:
    room, pressure = model.room, ambient_pressure(model)
    return {
        "room_temp": room.temperature,
        "room_humidity_ratio": moist_air.humidity_ratio_from_rh(
            room.temperature, room.relative_humidity, pressure
        ),
        "pressure": pressure,
        "room_volume": room.volume,
        "room_air_exchange": room.air_changes,
        "house_depressurisation": room.depressurisation,
    }


def _load(model: ScenarioModel) -> dict[str, Any]:
    load, kinds = model.load, pieces(model)
    return {
        "dry_mass": load.dry_mass,
        "load_temp": model.room.temperature if load.temperature is None else load.temperature,
        "scorch_temp": load.scorches_at,
        "piece_share": _four(0.0, (k.share for k in kinds)),
        "piece_exposure": _four(0.0, (k.exposure for k in kinds)),
        "piece_moisture": _four(0.0, (k.initial_moisture for k in kinds)),
        "piece_specific_heat": _four(1.0, (textile.dry_specific_heat(k.cotton_fraction) for k in kinds)),
        "piece_sorption_share": _four(1.0, (textile.sorption_share(k.cotton_fraction) for k in kinds)),
        "piece_sorption_heat": _four(0.0, (textile.sorption_heat_dry(k.cotton_fraction) for k in kinds)),
        "piece_critical_moisture": _four(1.0, map(_critical_moisture, kinds)),
    }


def pieces(model: ScenarioModel) -> tuple[Piece, ...]:
    """Return the kinds of cloth in the load; without a list of them, one of the test cloth's exposure.

    Moisture and cotton of a load of pieces are means; where a study moves one of them, every piece
    moves by as much, inside what is admissible.
    """
    load = model.load
    if not load.pieces:
        uniform = (load.cotton_fraction, load.initial_moisture, load.critical_moisture)
        return (Piece(UNIFORM, 1.0, 1.0, *uniform),)
    wetter = load.initial_moisture - mean(load.pieces, "initial_moisture")
    cotton = load.cotton_fraction - mean(load.pieces, "cotton_fraction")
    return tuple(
        k._replace(
            initial_moisture=max(k.initial_moisture + wetter, DAMP),
            cotton_fraction=min(max(k.cotton_fraction + cotton, 0.0), 1.0),
        )
        for k in load.pieces
    )


def _critical_moisture(kind: Piece) -> float:
    """Return a kind's critical moisture: its own, or the isotherm's 100 % point of its fibre."""
    if kind.critical_moisture is not None:
        return kind.critical_moisture
    return textile.critical_moisture(textile.sorption_share(kind.cotton_fraction))


def _four(absent: float, values: Iterable[float]) -> tuple[float, float, float, float]:
    """Return values with the places of kinds that are not there filled up."""
    found = [*values, absent, absent, absent, absent]
    return found[0], found[1], found[2], found[3]


def _burner(model: ScenarioModel) -> dict[str, Any]:
    electric = model.machine.heat == "electric"
    gas = supplied_gas(model)
    return {
        "heat_source": p.ELECTRIC_HEAT if electric else p.GAS_HEAT,
        "firing_rate": firing_rate(model),
        "primary_air": model.burner.primary_air,
        "water_per_energy": 0.0 if electric else gas.water_per_energy,
        "air_per_energy": 0.0 if electric else gas.air_per_energy,
    }


def _air(model: ScenarioModel) -> dict[str, Any]:
    air = model.air
    return {
        "fan_dead_head": air.fan_dead_head,
        "fan_slope": air.fan_dead_head / air.fan_free_delivery**2,
        "fan_speed": air.fan_speed * speed_at_voltage(voltage_share(model)),
        "reference_density": air.reference_density,
        "burner_loss": air.burner_path_loss / air.loss_flow**2,
        "load_loss": air.load_loss / air.loss_flow**2,
        "screen_loss": air.screen_loss / air.loss_flow**2,
        "screen_loading": air.screen_loading,
        "housing_loss": air.housing_loss / air.loss_flow**2,
        "drum_seal_area": air.drum_seal_leak,
        "gasket_area": air.gasket_leak,
        "leak_coefficient": air.leak_coefficient,
        "natural_draught": air.natural_draught,
    }


def _vent(model: ScenarioModel) -> dict[str, Any]:
    vent = model.vent
    return {
        "joint_area": vent.joint_leak,
        "vent_diameter": vent.diameter,
        "vent_length": vent.length,
        "vent_roughness": vent.roughness,
        "vent_flex_factor": vent.flex_factor,
        "vent_minor_loss": vent.elbows * vent.elbow_loss + vent.hood_loss,
        "vent_open_area": vent.open_area,
        "vent_resistance_factor": vent.resistance_factor,
        "vent_back_pressure": vent.flap_pressure,
    }


def _drum(model: ScenarioModel) -> dict[str, Any]:
    m = model.machine
    return {
        "transfer_base": m.transfer_conductance,
        "transfer_flow": m.transfer_flow,
        "transfer_exponent": m.transfer_exponent,
        "lewis_factor": m.lewis_factor,
        "least_uptake": m.least_uptake,
        "reference_load": m.reference_load,
        "small_load_exponent": m.small_load_exponent,
        "overload_mass": m.overload_mass,
        "tumbling": m.tumbling * speed_at_voltage(voltage_share(model)),
        "drum_heat_capacity": m.drum_metal_mass * m.drum_specific_heat,
        "drum_conductance": m.drum_conductance,
        "cabinet_conductance": m.cabinet_conductance,
        "cabinet_share": m.cabinet_share,
        "seal_from_cabinet": m.seal_from_cabinet,
        "housing_heat_capacity": m.housing_mass * m.drum_specific_heat,
        "housing_conductance": m.housing_conductance,
        "chamber_heat_capacity": m.chamber_mass * m.drum_specific_heat,
        "chamber_conductance": m.chamber_conductance,
    }


def _electrics(model: ScenarioModel) -> dict[str, Any]:
    m = model.machine
    return {
        "line_voltage": m.line_voltage,
        "motor_power": m.motor_power,
        "motor_power_fall": m.motor_power_fall,
        "motor_stop_time": m.motor_stops,
        "motor_heat_share": m.motor_heat_share,
        "timer_resistance": m.timer_resistance,
        "igniter_resistance": m.igniter_resistance,
        "holding_resistance": m.holding_resistance,
        "assist_resistance": m.assist_resistance,
        "main_coil_resistance": m.main_coil_resistance,
        "pull_in_share": m.pull_in,
    }


def _ignition(model: ScenarioModel) -> dict[str, Any]:
    burner = model.burner
    return {
        "igniter_warm_up": warm_up_at_voltage(burner.igniter_warm_up, voltage_share(model)),
        "sensor_cool_down": burner.sensor_cool_down,
        "sensor_stuck": _SENSOR_STATES[burner.flame_sensor],
        "coil_open_temp": burner.coil_opens,
        "coil_reclose_temp": burner.coil_recloses,
        "coil_rise": burner.coil_rise,
        "coil_lag": burner.coil_lag,
    }


def _thermostats(model: ScenarioModel) -> dict[str, Any]:
    m = model.machine
    cut_out, cut_in = _exhaust_set_points(model)
    return {
        "cut_out": cut_out,
        "cut_in": cut_in,
        "exhaust_lag": m.exhaust_lag,
        "exhaust_metal_share": m.exhaust_metal_share,
        "bias_rise": m.bias_rise,
        "high_limit_cut_out": m.high_limit_cut_out,
        "high_limit_cut_in": m.high_limit_cut_in,
        "high_limit_lag": m.high_limit_lag,
        "high_limit_coupling": m.high_limit_coupling,
        "high_limit_metal_share": m.high_limit_metal_share,
        "thermal_cutoff": m.thermal_cutoff,
        "cutoff_lag": m.cutoff_lag,
        "cutoff_coupling": m.cutoff_coupling,
    }


def _exhaust_set_points(model: ScenarioModel) -> tuple[float, float]:
    """Return cut-out and cut-in [K]; a stuck contact is a threshold no temperature crosses."""
    m = model.machine
    if m.exhaust_thermostat == ALWAYS_CLOSED:
        return p.NEVER, p.NEVER - 1.0
    if m.exhaust_thermostat == ALWAYS_OPEN:
        return 1.0, 0.0
    return m.exhaust_cut_out, m.exhaust_cut_in


def _controls(model: ScenarioModel) -> dict[str, Any]:
    m, controls = model.machine, model.controls
    return {
        "program": _PROGRAMS[controls.program],
        "timer_wiring": _TIMER_WIRINGS[m.timer_wiring],
        "low_heat": float(controls.heat == "low"),
        "dial_heat": dial_heat(model),
        "dial_cool_down": m.cool_down,
        "timer_works": float(m.timer_motor == "works"),
        "cutoff_intact": float(m.thermal_cutoff_state == "intact"),
    }


def dial_heat(model: ScenarioModel) -> float:
    """Return the dial travel [s] before the cool-down, by explicit time, dryness or timed length."""
    m, controls = model.machine, model.controls
    if controls.dial_heat is not None:
        return controls.dial_heat
    if controls.program != "auto":
        return controls.timed_length
    return {"less dry": m.dial_less_dry, "normal": m.dial_normal, "very dry": m.dial_very_dry}[
        controls.dryness
    ]


def _limits(model: ScenarioModel) -> dict[str, Any]:
    controls = model.controls
    return {
        "time_limit": controls.time_limit,
        "stop_moisture": -1.0 if controls.stop_at_moisture is None else controls.stop_at_moisture,
        "marked_moisture": controls.marked_moisture,
        "rel_tolerance": controls.rel_tolerance,
    }
