"""The one vocabulary: what every number is called, in which units, and what it is in words.

A number keeps its name from the engine to the screen. Wherever it leaves the program its unit ends the
name, ``exhaust_flow_m3_per_s`` or ``exhaust_flow_cfm``, and the tables here say which one that is.
:mod:`dryermodel.readings` says how each reading is got from a cycle or from a row of many.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from dryermodel.kinds import KINDS, suffix, with_unit


class Quantity(NamedTuple):
    """A number that a cycle has at every moment."""

    name: str
    kind: str
    words: str

    @property
    def si(self) -> str:
        """Its name in SI, unit included."""
        return with_unit(self.name, KINDS[self.kind].si_unit)

    @property
    def trade(self) -> str:
        """Its name in the trade's unit."""
        return with_unit(self.name, KINDS[self.kind].trade.unit)


SERIES: tuple[Quantity, ...] = (
    Quantity("time", "time", "time since start"),
    Quantity("moisture", "moisture", "moisture, dry basis"),
    Quantity("water_in_load", "mass", "water in load"),
    Quantity("load_temp", "temperature", "load"),
    Quantity("drum_inlet_temp", "temperature", "drum inlet air"),
    Quantity("burner_outlet_temp", "temperature", "burner outlet air"),
    Quantity("exhaust_temp", "temperature", "exhaust air"),
    Quantity("exhaust_element_temp", "temperature", "exhaust thermostat's element"),
    Quantity("high_limit_element_temp", "temperature", "high limit's element"),
    Quantity("drum_metal_temp", "temperature", "drum metal"),
    Quantity("exhaust_humidity_ratio", "ratio", "humidity ratio of the exhaust"),
    Quantity("exhaust_flow", "flow", "exhaust flow"),
    Quantity("vent_static", "pressure", "vent static pressure"),
    Quantity("evaporation", "mass flow", "evaporation"),
    Quantity("heat_released", "power", "heat released"),
    Quantity("unburned_gas", "power", "gas that leaves unburned"),
    Quantity("combustion_air", "mass flow", "air through the burner"),
    Quantity("electric_power", "electric power", "electric power"),
    Quantity("dial", "time", "travel of the dial"),
    Quantity("motor", "switch", "motor"),
    Quantity("heat_call", "switch", "heat circuit"),
    Quantity("igniter", "switch", "igniter"),
    Quantity("heat", "switch", "burner or heater"),
    Quantity("timer_motor", "switch", "timer motor"),
    Quantity("exhaust_thermostat", "switch", "exhaust thermostat"),
    Quantity("high_limit", "switch", "high limit"),
    Quantity("thermal_cutoff", "switch", "thermal cut-off"),
    Quantity("flame_sensor", "switch", "flame sensor"),
    Quantity("timer_heat_contact", "switch", "timer's heat contact"),
)
"""What :meth:`~dryermodel.cycle.result.CycleResult.sample` gives, in its order."""


class Reading(NamedTuple):
    """One number that a whole cycle has.

    The last four fields hold what some outlet called it before there was one name, or how finely it is
    shown there; outlets keep the keys that programs already read.
    """

    name: str
    kind: str
    words: str
    about: str  # what it is, for whoever must know exactly
    json: str = ""  # key in the summary for programs, where it is not `name` with the trade's unit
    sweep: str = ""  # name in the table of a sweep, where it is not `name`
    figure: str = ""  # key among the SI figures of a comparison or of repairs, where it is not `name`
    decimals: int | None = None  # instead of the kind's

    @property
    def si(self) -> str:
        """Its name in SI, unit included: the column in a row of many runs."""
        return with_unit(self.name, KINDS[self.kind].si_unit)

    @property
    def key(self) -> str:
        """Its key in the summary for programs, unit included."""
        return self.json or with_unit(self.name, KINDS[self.kind].name_unit)

    @property
    def key_unit(self) -> str:
        """Unit of the number under `key`: the one of its kind that ends the key, else that of SI."""
        kind = KINDS[self.kind]
        units = (kind.trade.unit, kind.metric.unit, kind.si_unit)
        ends = [unit for unit in units if unit and self.key.endswith("_" + suffix(unit))]
        return max(ends, key=len, default="")

    @property
    def column(self) -> str:
        """Its name in the table of a sweep, without its unit."""
        return self.sweep or self.name

    @property
    def figure_key(self) -> str:
        """Its key among the SI figures of a comparison or of repairs."""
        return self.figure or self.name


_READINGS: tuple[Reading, ...] = (
    # how it went
    Reading("cycle_time", "time", "cycle time", "start button to the end of the cycle"),
    Reading(
        "ended", "switch", "ended by itself", "1 unless the time limit of the computation stopped it",
        json="ended_by_itself",
    ),
    Reading(
        "time_to_4pct", "time", "time to 4 % moisture", "until the load first held 4 %, whatever is marked",
        figure="time_to_dry",
    ),
    Reading(
        "time_to_marked", "time", "time to the marked moisture", "until the load first held the marked "
        "moisture, 4 % unless the scenario says otherwise", sweep="time_to_dry",
    ),
    Reading("first_cut_out", "time", "first cut-out", "first opening of the exhaust thermostat"),
    Reading(
        "final_moisture", "moisture", "final moisture", "water over bone-dry cloth at the end",
        json="final_moisture",
    ),
    Reading(
        "wettest_final_moisture", "moisture", "wettest pieces at the end", "water over bone-dry cloth of the "
        "wettest kind of cloth at the end", json="wettest_final_moisture",
    ),
    Reading("final_load_temp", "temperature", "load at the end", "hottest kind of cloth at the end"),
    Reading(
        "water_removed", "mass", "water removed", "water that left the load", json="water_removed_kg"
    ),
    # burner and timer
    Reading(
        "burner_time", "time", "burner on", "time with flame, or with the electric heater on",
        json="burner_on_min",
    ),
    Reading("burner_cycles", "count", "burner cycles", "how often the flame was lit, or the heater came on"),
    Reading("ignition_tries", "count", "ignition tries", "how often the igniter was energised"),
    Reading(
        "timer_time", "time", "timer on", "time in which the timer motor turned the dial", json="timer_on_min"
    ),
    Reading("high_limit_trips", "count", "high-limit trips", "how often the high limit opened"),
    Reading(
        "burner_on_mean", "stretch", "burner stretch", "mean stretch with heat after the first cut-out, of "
        "those that neither the cool-down nor the end cut short",
    ),
    Reading(
        "burner_off_mean", "stretch", "burner gap", "mean gap between two stretches with heat after the "
        "first cut-out",
    ),
    Reading("first_light", "stretch", "first light", "start button to the first heat"),
    Reading("longest_glow", "stretch", "longest glow", "longest time the igniter was energised in one go"),
    # energy
    Reading("gas_input", "power", "gas input, burner lit", "gross, with the flame lit"),
    Reading("gas_energy", "gas energy", "gas, gross", "at gross heating value", sweep="gas", figure="gas"),
    Reading(
        "electric_energy", "energy", "electricity", "motor, timer, igniter, valves and heater",
        sweep="electric", figure="electricity",
    ),
    Reading("energy", "energy", "gas and electricity", "both together, gas at gross heating value"),
    Reading(
        "energy_per_water", "energy per water", "energy per water", "gas and electricity over water removed",
        json="energy_per_water_kWh_per_kg",
    ),
    Reading(
        "gas_energy_to_4pct", "gas energy", "gas, gross", "used until the load first held 4 %",
        figure="gas_to_dry",
    ),
    Reading(
        "electric_energy_to_4pct", "energy", "electricity", "used until the load first held 4 %",
        figure="electricity_to_dry",
    ),
    # air and temperatures
    Reading(
        "exhaust_flow", "flow", "exhaust flow", "at the collar: median of bulk drying, without any of the "
        "time the motor ran", figure="flow",
    ),
    Reading(
        "vent_static", "pressure", "vent static pressure", "at the collar against the room: median of bulk "
        "drying, without any of the time the motor ran", figure="static",
    ),
    Reading(
        "exhaust_temp_bulk", "temperature", "exhaust, bulk drying", "exhaust air: median of bulk drying, "
        "which is steady drying in the trade",
    ),
    Reading(
        "exhaust_temp_max", "temperature", "exhaust, highest", "exhaust air, while the motor ran"
    ),
    Reading("load_temp_max", "temperature", "load, highest", "hottest pieces of the load"),
    Reading(
        "exhaust_element_max", "temperature", "exhaust thermostat's element, highest",
        "what the thermostat felt, without a bias heater's rise",
    ),
    Reading(
        "mid_drying_exhaust_temp", "temperature", "exhaust half way through drying",
        "what the exhaust thermostat's element felt when half the water was gone",
    ),
    Reading(
        "mid_drying_flow", "flow", "exhaust flow half way through drying", "when half the water was gone"
    ),
    Reading(
        "mid_drying_static", "pressure", "vent static half way through drying", "when half the water was gone"
    ),
    Reading(
        "combustion_air_ratio", "ratio", "combustion air", "least air through the burner over the least "
        "that its gas needs",
    ),
    # money
    Reading("cost_load", "money", "cost a load", "gas and electricity of the cycle", decimals=3),
    Reading("cost_year", "money", "cost a year", "of so many loads as a year has"),
    Reading("co2_load", "mass", "CO2 a load", "from gas and electricity of the cycle"),
    Reading("co2_year", "mass", "CO2 a year", "of so many loads as a year has", decimals=0),
    Reading(
        "cost_to_4pct_load", "money", "cost a load", "gas and electricity until 4 %", decimals=3,
        figure="cost_to_dry_load",
    ),
    Reading(
        "cost_to_4pct_year", "money", "cost a year", "of so many loads as a year has, each to 4 %",
        figure="cost_to_dry_year",
    ),
    Reading(
        "co2_to_4pct_load", "mass", "CO2 a load", "from gas and electricity until 4 %",
        figure="co2_to_dry_load",
    ),
    Reading(
        "co2_to_4pct_year", "mass", "CO2 a year", "of so many loads as a year has, each to 4 %", decimals=0,
        figure="co2_to_dry_year",
    ),
    # the computation itself
    Reading("end_code", "count", "end code", "why the engine stopped, by its own numbering"),
    Reading(
        "balance_water", "gap", "water balance closes to", "what is missing, over the water blown out"
    ),
    Reading(
        "balance_energy", "gap", "energy balance closes to", "what is missing, over gas and electricity"
    ),
    Reading("rel_tolerance", "gap", "relative tolerance", "of the integration"),
    Reading("evaluations", "count", "evaluations", "of the right-hand side"),
    Reading("steps", "count", "steps", "of the integration that were taken"),
    Reading("rejected_steps", "count", "rejected steps", "of the integration that were tried in vain"),
)  # fmt: skip

_ON_THE_WAY: tuple[Reading, ...] = (
    Reading("cut_outs", "count", "cut-outs", "how often the exhaust thermostat opened"),
    Reading(
        "first_cut_out_exhaust_temp",
        "temperature",
        "exhaust at the first cut-out",
        "exhaust air at that moment",
    ),
    Reading(
        "first_cut_out_element_temp",
        "temperature",
        "thermostat at the first cut-out",
        "the thermostat's element at that moment, with the bias heater's rise",
    ),
    Reading("first_cut_in", "time", "first cut-in", "first closing of the exhaust thermostat"),
    Reading(
        "first_cut_in_exhaust_temp",
        "temperature",
        "exhaust at the first cut-in",
        "exhaust air at that moment",
    ),
    Reading(
        "first_cut_in_element_temp",
        "temperature",
        "thermostat at the first cut-in",
        "the thermostat's element at that moment, with the bias heater's rise",
    ),
    Reading("last_cut_out", "time", "last cut-out", "last opening of the exhaust thermostat"),
    Reading(
        "last_cut_out_exhaust_temp",
        "temperature",
        "exhaust at the last cut-out",
        "exhaust air at that moment",
    ),
    Reading(
        "last_cut_out_element_temp",
        "temperature",
        "thermostat at the last cut-out",
        "the thermostat's element at that moment, with the bias heater's rise",
    ),
    Reading("last_cut_in", "time", "last cut-in", "last closing of the exhaust thermostat"),
    Reading(
        "last_cut_in_exhaust_temp", "temperature", "exhaust at the last cut-in", "exhaust air at that moment"
    ),
    Reading(
        "last_cut_in_element_temp",
        "temperature",
        "thermostat at the last cut-in",
        "the thermostat's element at that moment, with the bias heater's rise",
    ),
    Reading(
        "moisture_at_first_cut_out",
        "moisture",
        "moisture at the first cut-out",
        "of the whole load",
        json="moisture_at_first_cut_out",
    ),
    Reading("heat_on_first", "stretch", "first burner stretch", "from the first flame to flame-out"),
    Reading(
        "heat_on_count",
        "count",
        "burner strokes",
        "strokes after the first cut-out that the exhaust thermostat ended",
    ),
    Reading(
        "heat_on_early",
        "stretch",
        "burner stroke, early",
        "mean of the first half of the strokes after the first cut-out",
    ),
    Reading(
        "heat_on_late",
        "stretch",
        "burner stroke, late",
        "mean of the last half of the strokes after the first cut-out",
    ),
    Reading(
        "heat_off_count",
        "count",
        "burner gaps",
        "gaps that the exhaust thermostat began and another stroke followed",
    ),
    Reading(
        "heat_off_first",
        "stretch",
        "first burner gap",
        "from flame-out by the exhaust thermostat to the next igniter-on",
    ),
    Reading(
        "heat_off_early",
        "stretch",
        "burner gap, early",
        "mean of the first half of the gaps, from flame-out to the next igniter-on",
    ),
    Reading(
        "heat_off_late",
        "stretch",
        "burner gap, late",
        "mean of the last half of the gaps, from flame-out to the next igniter-on",
    ),
    Reading("ignition_delay_first", "stretch", "first ignition delay", "igniter-on to flame, the first time"),
    Reading("ignition_delay_mean", "stretch", "mean ignition delay", "igniter-on to flame"),
    Reading("ignition_delay_longest", "stretch", "longest ignition delay", "igniter-on to flame"),
    Reading("high_limit_first_trip", "time", "first high-limit trip", "first opening of the high limit"),
    Reading("high_limit_open_time", "stretch", "high limit open", "time the high limit stood open"),
    Reading("thermal_cutoff_opened", "time", "thermal cut-off opened", "when the one-shot cut-off opened"),
    Reading(
        "flame_out_exhaust_temp_max",
        "temperature",
        "exhaust at flame-out, highest",
        "exhaust air at the moments the heat went out",
    ),
    Reading(
        "mid_drying_exhaust_air_temp",
        "temperature",
        "exhaust air half way through drying",
        "when half the water was gone",
    ),
    Reading(
        "heat_off_exhaust_temp",
        "temperature",
        "exhaust with the heat off",
        "exhaust air at the end of the first gap",
    ),
    Reading("heat_off_flow", "flow", "flow with the heat off", "at the collar at the end of the first gap"),
    Reading(
        "heat_off_static", "pressure", "static with the heat off", "at the collar at the end of the first gap"
    ),
    Reading("motor_power_early", "electric power", "motor, early", "just after the start, load wet"),
    Reading("motor_power_late", "electric power", "motor, late", "last moment the motor ran"),
    Reading("plug_power_start", "electric power", "power at the plug, start", "just after the start"),
    Reading(
        "plug_power_igniter",
        "electric power",
        "power at the plug, igniter",
        "just before the first flame, igniter glowing",
    ),
    Reading(
        "plug_power_flame",
        "electric power",
        "power at the plug, flame",
        "just after the first flame, igniter off",
    ),
    Reading(
        "plug_power_heat_off",
        "electric power",
        "power at the plug, heat off",
        "just after the first flame-out",
    ),
    Reading("plug_current_start", "current", "current at the plug, start", "just after the start"),
    Reading(
        "plug_current_igniter",
        "current",
        "current at the plug, igniter",
        "just before the first flame, igniter glowing",
    ),
    Reading(
        "plug_current_flame",
        "current",
        "current at the plug, flame",
        "just after the first flame, igniter off",
    ),
    Reading(
        "plug_current_heat_off", "current", "current at the plug, heat off", "just after the first flame-out"
    ),
)
"""Read by the engine on the way."""

MARKS = range(5, 61, 5)
"""Minutes of the clock at which dial and gas meter are read."""

_AT_MARKS = (
    *(
        Reading(f"dial_at_{m}min", "time", f"dial at {m} min", "travel of the dial by that minute")
        for m in MARKS
    ),
    *(Reading(f"gas_at_{m}min", "energy", f"gas at {m} min", "gross, used by that minute") for m in MARKS),
)

READINGS: dict[str, Reading] = {reading.name: reading for reading in (*_READINGS, *_ON_THE_WAY, *_AT_MARKS)}
"""Every reading by its name."""

SUMMARY: tuple[str, ...] = (
    "cycle_time",
    "time_to_4pct",
    "first_cut_out",
    "moisture_at_first_cut_out",
    "heat_off_late",
    "final_moisture",
    "water_removed",
    "burner_time",
    "burner_cycles",
    "ignition_tries",
    "timer_time",
    "high_limit_trips",
    "gas_input",
    "gas_energy",
    "electric_energy",
    "energy_per_water",
    "exhaust_flow",
    "vent_static",
    "exhaust_temp_bulk",
    "exhaust_temp_max",
    "load_temp_max",
    "combustion_air_ratio",
)
"""Readings that sum a cycle up, in order; wherever a summary is shown it is this one or part of it."""


def reading(name: str) -> Reading:
    """Return the entry of a name; KeyError for one that is not in the vocabulary.

    >>> reading("exhaust_flow").key, reading("exhaust_flow").si
    ('exhaust_flow_cfm', 'exhaust_flow_m3_per_s')
    >>> reading("water_removed").key_unit, reading("cycle_time").key_unit
    ('kg', 'min')
    """
    return READINGS[name]


Readings = Mapping[str, "float | None"]
"""Readings of one cycle in SI by their names; None where it has none."""


def known(readings: Readings, name: str) -> float:
    """Return a reading that every cycle has.

    Parameters
    ----------
    readings : Readings
        Of one cycle.
    name : str
        In the vocabulary.

    Raises
    ------
    ValueError
        This cycle has none.

    Examples
    --------
    >>> known({"cycle_time": 60.0}, "cycle_time")
    60.0
    """
    value = readings[name]
    if value is None:
        raise ValueError(f"a cycle without {READINGS[name].words}")
    return value
