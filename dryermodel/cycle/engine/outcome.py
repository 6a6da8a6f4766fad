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
    water_removed_kg: float = nan
    gas_energy_J: float = nan  # gross
    electric_energy_J: float = nan
    burner_time_s: float = 0.0  # with a flame, or with the heater on
    timer_time_s: float = 0.0  # timer motor turning the dial
    burner_cycles: float = 0.0  # times the flame was lit, or the heater came on
    high_limit_trips: float = 0.0
    ignition_tries: float = 0.0
    # hottest, at step ends ------------------------------------------------------------------
    load_temp_max_K: float = 0.0
    exhaust_element_max_K: float = 0.0
    # half way through bulk drying -----------------------------------------------------------
    mid_drying_exhaust_temp_K: float = nan  # exhaust thermostat's element
    mid_drying_flow_m3_per_s: float = nan
    mid_drying_static_Pa: float = nan
    # thermostat -----------------------------------------------------------------------------
    first_cut_out_s: float = nan
    # the computation itself -----------------------------------------------------------------
    balance_water: float = nan  # [1]
    balance_energy: float = nan  # [1]
    evaluations: float = 0.0
    steps: float = 0.0
    rejected_steps: float = 0.0


OUTCOMES = tuple(field.name for field in fields(Outcome))
"""Names of what is kept of each run, in order."""
