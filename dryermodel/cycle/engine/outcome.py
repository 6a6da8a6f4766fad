"""What one run leaves behind: how it ended, its sums, and what could be read off it on the way."""

from __future__ import annotations

from dataclasses import dataclass, fields
from math import nan


@dataclass(slots=True)
class Outcome:
    """Numbers of one run, SI, the unit in the name; NaN where it never happened.

    The engine writes into an object of this kind, or into a row of a structured array with the same
    fields in the same order, which is what many runs are kept in.
    """

    # end and sums ---------------------------------------------------------------------------
    end_code: float = nan  # of :mod:`dryermodel.cycle.engine.endings`
    cycle_time_s: float = nan  # start button to end
    time_to_marked_s: float = nan  # first time at or below the marked moisture
    final_moisture: float = nan  # [kg/kg]
    wettest_final_moisture: float = nan  # [kg/kg] of the wettest kind of cloth
    final_load_temp_K: float = nan  # of the hottest kind of cloth
    water_removed_kg: float = nan
    gas_energy_J: float = nan  # gross
    electric_energy_J: float = nan
    burner_time_s: float = 0.0  # with a flame, or with the heater on
    timer_time_s: float = 0.0  # timer motor turning the dial
    burner_cycles: float = 0.0  # times the flame was lit, or the heater came on
    high_limit_trips: float = 0.0
    ignition_tries: float = 0.0
    # hottest, at the start, and in the middle and at the end of each step --------------------
    load_temp_max_K: float = 0.0
    exhaust_element_max_K: float = 0.0
    flame_out_exhaust_temp_max_K: float = nan  # air, at the moments the heat went out
    # half way through bulk drying -----------------------------------------------------------
    mid_drying_exhaust_temp_K: float = nan  # exhaust thermostat's element
    mid_drying_flow_m3_per_s: float = nan
    mid_drying_static_Pa: float = nan
    mid_drying_exhaust_air_temp_K: float = nan
    # exhaust thermostat
    cut_outs: float = 0.0  # times it opened
    first_cut_out_s: float = nan  # its first opening
    first_cut_out_exhaust_temp_K: float = nan  # air at that moment
    first_cut_out_element_temp_K: float = nan  # element at that moment, with the bias heater's rise
    moisture_at_first_cut_out: float = nan  # [kg/kg] of the whole load
    last_cut_out_s: float = nan
    last_cut_out_exhaust_temp_K: float = nan
    last_cut_out_element_temp_K: float = nan
    first_cut_in_s: float = nan  # its first closing
    first_cut_in_exhaust_temp_K: float = nan
    first_cut_in_element_temp_K: float = nan
    last_cut_in_s: float = nan
    last_cut_in_exhaust_temp_K: float = nan
    last_cut_in_element_temp_K: float = nan
    # burner stretches and gaps: see :mod:`dryermodel.cycle.engine.strokes`
    heat_on_first_s: float = nan  # first stretch with heat
    heat_on_count: float = 0.0  # strokes after the first cut-out that the thermostat ended
    heat_on_early_s: float = nan  # mean of the first half of these strokes
    heat_on_late_s: float = nan  # mean of the last half
    heat_off_count: float = 0.0  # gaps that the thermostat began and another stroke followed
    heat_off_first_s: float = nan  # first of these gaps, from flame-out to the next igniter-on
    heat_off_early_s: float = nan  # mean of the first half of them
    heat_off_late_s: float = nan  # mean of the last half
    # high limit
    high_limit_first_trip_s: float = nan  # first opening
    high_limit_open_time_s: float = 0.0  # time it stood open
    # ignition
    first_light_s: float = nan  # start button to the first heat
    longest_glow_s: float = 0.0  # longest time the igniter was energised in one go
    ignition_delay_first_s: float = nan  # igniter-on to flame
    ignition_delay_mean_s: float = nan
    ignition_delay_longest_s: float = nan
    # one-shot cut-off
    thermal_cutoff_opened_s: float = nan  # when the one-shot cut-off opened
    # at the plug
    motor_power_early_W: float = nan  # just after the start
    motor_power_late_W: float = nan  # last moment the motor ran
    plug_power_start_W: float = nan  # just after the start
    plug_power_igniter_W: float = nan  # just before the first flame
    plug_power_flame_W: float = nan  # just after the first flame, igniter off
    plug_power_heat_off_W: float = nan  # just after the first flame-out
    plug_current_start_A: float = nan
    plug_current_igniter_A: float = nan
    plug_current_flame_A: float = nan
    plug_current_heat_off_A: float = nan
    # with the heat off: at the end of the first gap, of whatever cause, while the motor ran
    heat_off_exhaust_temp_K: float = nan  # air
    heat_off_flow_m3_per_s: float = nan
    heat_off_static_Pa: float = nan
    # dial and gas meter by the clock; after the end of the cycle they stand still
    dial_at_5min_s: float = nan
    dial_at_10min_s: float = nan
    dial_at_15min_s: float = nan
    dial_at_20min_s: float = nan
    dial_at_25min_s: float = nan
    dial_at_30min_s: float = nan
    dial_at_35min_s: float = nan
    dial_at_40min_s: float = nan
    dial_at_45min_s: float = nan
    dial_at_50min_s: float = nan
    dial_at_55min_s: float = nan
    dial_at_60min_s: float = nan
    gas_at_5min_J: float = nan  # gross
    gas_at_10min_J: float = nan
    gas_at_15min_J: float = nan
    gas_at_20min_J: float = nan
    gas_at_25min_J: float = nan
    gas_at_30min_J: float = nan
    gas_at_35min_J: float = nan
    gas_at_40min_J: float = nan
    gas_at_45min_J: float = nan
    gas_at_50min_J: float = nan
    gas_at_55min_J: float = nan
    gas_at_60min_J: float = nan
    # the computation itself -----------------------------------------------------------------
    balance_water: float = nan  # [1]
    balance_energy: float = nan  # [1]
    evaluations: float = 0.0
    steps: float = 0.0
    rejected_steps: float = 0.0


OUTCOMES = tuple(field.name for field in fields(Outcome))
"""Names of what is kept of each run, in order."""
