"""The keys of a scenario file, each with its kind of quantity and its admissible range.

What a key means, its default and where that comes from is in ``defaults.toml``: one entry for
each key here. Values are held in SI.
"""

from __future__ import annotations

from functools import cache
from typing import Annotated, Any, Literal, get_args, get_origin

from pydantic import BaseModel, BeforeValidator, ConfigDict, ValidationInfo, field_validator
from pydantic.fields import FieldInfo

from dryermodel.scenario.defaults import named_values
from dryermodel.scenario.interruptions import Interruption, read_interruptions
from dryermodel.scenario.pieces import PIECE_RULES, Piece, is_piece_key, read_pieces, split_piece_key
from dryermodel.scenario.rules import Rule, count, quantity, read


class Section(BaseModel):
    """Base of the sections: strict, closed to unknown keys, quantities read by their rule."""

    model_config = ConfigDict(strict=True, extra="forbid", frozen=True)

    @field_validator("*", mode="before")
    @classmethod
    def _read(cls, value: Any, info: ValidationInfo) -> Any:
        extra = cls.model_fields[str(info.field_name)].json_schema_extra
        rule = extra.get("rule") if isinstance(extra, dict) else None
        if not isinstance(rule, Rule):
            return value
        return read(rule, value, named_values(f"{cls.__name__.lower()}.{info.field_name}"))


class Machine(Section):
    """Drum, motor, thermostats, timer and wiring."""

    heat: Literal["gas", "electric"]
    drum_metal_mass: float = quantity("mass", "1 kg", "60 kg")
    drum_specific_heat: float = quantity("specific heat", "300 J/(kg K)", "1000 J/(kg K)")
    drum_conductance: float = quantity("conductance", "0 W/K", "200 W/K")
    cabinet_conductance: float = quantity("conductance", "0 W/K", "50 W/K")
    cabinet_share: float = quantity("fraction", "0 %", "100 %")
    seal_from_cabinet: float = quantity("fraction", "0 %", "100 %")
    housing_mass: float = quantity("mass", "0.1 kg", "30 kg")
    housing_conductance: float = quantity("conductance", "0 W/K", "100 W/K")
    chamber_mass: float = quantity("mass", "0.1 kg", "20 kg")
    chamber_conductance: float = quantity("conductance", "0 W/K", "100 W/K")
    motor_power: float = quantity("power", "0 W", "1500 W")
    motor_power_fall: float = quantity("fraction", "0 %", "60 %")
    motor_stops: float = quantity("time", "1 s", "86400 s", words=("never",))
    motor_heat_share: float = quantity("fraction", "0 %", "100 %")
    transfer_conductance: float = quantity("mass flow", "0.005 kg/s", "1 kg/s")
    transfer_flow: float = quantity("mass flow", "0.005 kg/s", "0.5 kg/s")
    transfer_exponent: float = quantity("number", "0", "1.5")
    lewis_factor: float = quantity("number", "0.5", "1.5")
    least_uptake: float = quantity("fraction", "0 %", "100 %")
    reference_load: float = quantity("mass", "1 lb", "40 lb")
    small_load_exponent: float = quantity("number", "0", "2")
    overload_mass: float = quantity("mass", "2 kg", "40 kg")
    tumbling: float = quantity("fraction", "0 %", "100 %")
    exhaust_cut_out: float = quantity("temperature", "80 degF", "300 degF")
    exhaust_cut_in: float = quantity("temperature", "60 degF", "300 degF")
    exhaust_lag: float = quantity("time", "5 s", "1200 s")
    exhaust_metal_share: float = quantity("fraction", "0 %", "100 %")
    exhaust_thermostat: Literal["works", "stuck closed", "stuck open"]
    bias_rise: float = quantity("temperature difference", "0 delta_degF", "80 delta_degF")
    high_limit_cut_out: float = quantity("temperature", "100 degF", "500 degF")
    high_limit_cut_in: float = quantity("temperature", "80 degF", "500 degF")
    high_limit_lag: float = quantity("time", "5 s", "1200 s")
    high_limit_coupling: float = quantity("fraction", "0 %", "100 %")
    high_limit_metal_share: float = quantity("fraction", "0 %", "100 %")
    thermal_cutoff: float = quantity("temperature", "120 degF", "700 degF", words=("never",))
    cutoff_lag: float = quantity("time", "5 s", "1200 s")
    cutoff_coupling: float = quantity("fraction", "0 %", "150 %")
    thermal_cutoff_state: Literal["intact", "blown"]
    timer_wiring: Literal["exhaust thermostat", "whole chain"]
    timer_motor: Literal["works", "dead"]
    low_heat_in_auto: bool
    cool_down: float = quantity("time", "0 min", "60 min")
    dial_less_dry: float = quantity("time", "0 min", "120 min")
    dial_normal: float = quantity("time", "0 min", "120 min")
    dial_very_dry: float = quantity("time", "0 min", "120 min")
    line_voltage: float = quantity("voltage", "50 V", "300 V")
    rated_voltage: float | None = quantity("voltage", "50 V", "300 V", words=("line",))
    timer_resistance: float = quantity("resistance", "100 ohm", "100000 ohm")
    igniter_resistance: float = quantity("resistance", "5 ohm", "2000 ohm")
    holding_resistance: float = quantity("resistance", "50 ohm", "20000 ohm")
    assist_resistance: float = quantity("resistance", "50 ohm", "20000 ohm")
    main_coil_resistance: float = quantity("resistance", "50 ohm", "20000 ohm")
    pull_in: float = quantity("fraction", "10 %", "100 %")


class Burner(Section):
    """Burner and ignition, or the electric heater."""

    firing_rate: float = quantity("power", "1000 Btu/h", "200000 Btu/h")
    rated_gas: Literal["natural", "propane"]
    rated_manifold_pressure: float = quantity("pressure", "0.5 inH2O", "20 inH2O")
    orifice: float | None = quantity("orifice", "0.005 in", "0.5 in", words=("none",))
    orifice_discharge: float = quantity("number", "0.4", "1")
    orifice_open_area: float = quantity("fraction", "0 %", "100 %")
    primary_air: float = quantity("fraction", "0 %", "100 %")
    igniter_warm_up: float = quantity("time", "1 s", "600 s", words=("never",))
    sensor_cool_down: float = quantity("time", "1 s", "600 s")
    flame_sensor: Literal["works", "stuck closed", "stuck open"]
    coil_opens: float = quantity("temperature", "60 degF", "500 degF", words=("never",))
    coil_recloses: float = quantity("temperature", "50 degF", "500 degF", words=("never",))
    coil_rise: float = quantity("temperature difference", "0 delta_degF", "300 delta_degF")
    coil_lag: float = quantity("time", "30 s", "3600 s")
    heater_power: float = quantity("power", "0 W", "20000 W")


class Gas(Section):
    """The gas that is supplied, and its pressures."""

    kind: Literal["natural", "propane", "custom"]
    heating_value: float | None = quantity("heating value", "200 Btu/ft3", "4000 Btu/ft3", words=("none",))
    specific_gravity: float | None = quantity("number", "0.07", "3", words=("none",))
    water_per_energy: float | None = quantity("mass per energy", "0 kg/MJ", "0.08 kg/MJ", words=("none",))
    air_per_energy: float | None = quantity("mass per energy", "0.1 kg/MJ", "0.6 kg/MJ", words=("none",))
    supply_pressure: float = quantity("pressure", "0 inH2O", "60 inH2O")
    manifold_pressure: float = quantity("pressure", "0 inH2O", "30 inH2O")
    regulator_drop: float = quantity("pressure", "0 inH2O", "10 inH2O")


class Air(Section):
    """Blower, the machine's own air path and its leaks."""

    fan_dead_head: float = quantity("pressure", "0.1 inH2O", "6 inH2O")
    fan_free_delivery: float = quantity("volume flow", "30 cfm", "1500 cfm")
    fan_speed: float = quantity("fraction", "0 %", "120 %")
    reference_density: float = quantity("density", "0.5 kg/m3", "2 kg/m3")
    loss_flow: float = quantity("volume flow", "20 cfm", "1000 cfm")
    burner_path_loss: float = quantity("pressure", "0.01 inH2O", "10 inH2O")
    load_loss: float = quantity("pressure", "0 inH2O", "10 inH2O")
    screen_loss: float = quantity("pressure", "0 inH2O", "100 inH2O")
    screen_loading: float = quantity("fraction", "0 %", "1000 %")
    housing_loss: float = quantity("pressure", "0 inH2O", "10 inH2O")
    drum_seal_leak: float = quantity("area", "0 cm2", "300 cm2")
    gasket_leak: float = quantity("area", "0 cm2", "300 cm2")
    leak_coefficient: float = quantity("number", "0.3", "1")
    natural_draught: float = quantity("mass flow", "0.2 g/s", "10 g/s")


class Vent(Section):
    """The exhaust duct from the machine to outdoors."""

    diameter: float = quantity("length", "2 in", "12 in")
    length: float = quantity("length", "0 ft", "200 ft")
    roughness: float = quantity("length", "0 mm", "2.5 mm", words=("rigid", "flexible", "foil"))
    flex_factor: float = quantity("number", "1", "20")
    elbows: int = count(0, 20)
    elbow_loss: float = quantity("number", "0", "5")
    hood_loss: float = quantity("number", "0.3", "100", words=("flap", "louvered"))
    open_area: float = quantity("fraction", "0 %", "100 %")
    resistance_factor: float = quantity("number", "0.1", "1000")
    flap_pressure: float = quantity("pressure", "0 inH2O", "2 inH2O")
    joint_leak: float = quantity("area", "0 cm2", "300 cm2")


class Load(Section):
    """What is in the drum."""

    dry_mass: float = quantity("mass", "0.2 lb", "40 lb")
    initial_moisture: float = quantity("fraction", "1 %", "200 %")
    temperature: float | None = quantity("temperature", "0 degF", "160 degF", words=("room",))
    cotton_fraction: float = quantity("fraction", "0 %", "100 %")
    critical_moisture: float | None = quantity("fraction", "1 %", "100 %", words=("fibre",))
    scorches_at: float = quantity("temperature", "300 degF", "450 degF")
    pieces: Annotated[tuple[Piece, ...], BeforeValidator(read_pieces)]


class Room(Section):
    """The air the machine draws in."""

    temperature: float = quantity("temperature", "-20 degF", "120 degF")
    relative_humidity: float = quantity("fraction", "0 %", "100 %")
    altitude: float = quantity("length", "-1500 ft", "15000 ft")
    pressure: float | None = quantity("pressure", "500 hPa", "1100 hPa", words=("none",))
    volume: float = quantity("volume", "1 m3", "1000 m3")
    air_changes: float = quantity("rate", "0 1/h", "100 1/h")
    depressurisation: float = quantity("pressure", "0 inH2O", "1 inH2O")


class Controls(Section):
    """What the person sets, what happens on the way, and when the computation ends."""

    program: Literal["auto", "timed", "air only"]
    dryness: Literal["less dry", "normal", "very dry"]
    dial_heat: float | None = quantity("time", "0 min", "300 min", words=("none",))
    timed_length: float = quantity("time", "0 min", "300 min")
    heat: Literal["high", "low"]
    interruptions: Annotated[tuple[Interruption, ...], BeforeValidator(read_interruptions)]
    time_limit: float = quantity("time", "1 min", "1440 min")
    stop_at_moisture: float | None = quantity("fraction", "0 %", "200 %", words=("none",))
    marked_moisture: float = quantity("fraction", "0 %", "200 %")
    rel_tolerance: float = quantity("number", "1e-8", "1e-3")


class Costs(Section):
    """Prices, and what a year and a kilowatt-hour stand for."""

    currency: Literal["USD", "CAD", "MXN", "EUR", "GBP", "CHF", "AUD", "NZD", "JPY", "SEK", "NOK", "DKK"]
    gas_price: float = quantity("price", "0 money/kWh", "1000 money/kWh")
    electricity_price: float = quantity("price", "0 money/kWh", "1000 money/kWh")
    loads_per_year: int = count(1, 10000)
    gas_co2: float | None = quantity("mass per energy", "0 kg/MJ", "1 kg/MJ", words=("none",))
    electricity_co2: float = quantity("mass per energy", "0 kg/kWh", "2 kg/kWh")


class ScenarioModel(BaseModel):
    """All sections, and the faults; everything is given, because the defaults are merged in before."""

    model_config = ConfigDict(strict=True, extra="forbid", frozen=True)

    machine: Machine
    burner: Burner
    gas: Gas
    air: Air
    vent: Vent
    load: Load
    room: Room
    controls: Controls
    costs: Costs
    faults: dict[str, float]
    """Severity [1] of each fault that is present."""


FAULTS = "faults"
"""Section whose keys are those of the fault catalogue."""

SECTIONS: tuple[str, ...] = tuple(name for name in ScenarioModel.model_fields if name != FAULTS)
"""Sections whose keys have a default each."""


_MODELS: dict[str, type[Section]] = {
    model.__name__.lower(): model for model in (Machine, Burner, Gas, Air, Vent, Load, Room, Controls, Costs)
}


@cache
def keys() -> tuple[str, ...]:
    """Return every dotted key in the order of the schema."""
    return tuple(f"{section}.{name}" for section in SECTIONS for name in _MODELS[section].model_fields)


def _field(key: str) -> FieldInfo:
    section, name = key.split(".")
    return _MODELS[section].model_fields[name]


def rule_of(key: str) -> Rule | None:
    """Return the rule of a key that holds a quantity or a count, else None."""
    if is_piece_key(key):
        return PIECE_RULES[split_piece_key(key, "")[1]]
    extra = _field(key).json_schema_extra
    rule = extra.get("rule") if isinstance(extra, dict) else None
    return rule if isinstance(rule, Rule) else None


def choices_of(key: str) -> tuple[str, ...]:
    """Return the words a key may take, or nothing if it is not a choice."""
    annotation = None if is_piece_key(key) else _field(key).annotation
    return get_args(annotation) if get_origin(annotation) is Literal else ()


def is_switch(key: str) -> bool:
    """Return whether a key is true or false."""
    return not is_piece_key(key) and _field(key).annotation is bool


def allowed(key: str) -> str:
    """Return what a key admits, as text with units.

    >>> allowed("vent.length"), allowed("machine.heat")
    ('0 ft to 200 ft', "'gas' or 'electric'")
    """
    rule = rule_of(key)
    if rule is not None:
        return rule.allowed()
    return "true or false" if is_switch(key) else " or ".join(f"'{word}'" for word in choices_of(key))
