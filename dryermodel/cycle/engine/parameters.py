"""The plain SI numbers one cycle is computed from, and the layout of its state.

Everything a person may write in a scenario ends here, as floats, so that the equations know
neither files nor units. Flags and small enumerations are floats too: one flat record can then be
a row of a structured array, and the compiled and the interpreted engine read the same fields.
"""

from __future__ import annotations

from typing import NamedTuple

AUTO, TIMED, AIR_ONLY = 0.0, 1.0, 2.0
"""`program`: automatic by thermostat, by the clock, or tumbling without heat."""

SHUNT_EXHAUST_THERMOSTAT, SHUNT_WHOLE_CHAIN = 0.0, 1.0
"""`timer_wiring`: which contacts, when closed, shunt the timer motor in auto."""

GAS_HEAT, ELECTRIC_HEAT = 0.0, 1.0
"""`heat_source`."""

NEVER = 1.0e9
"""Stands for a threshold that is never reached (K, s), so that faults need no special case."""


class Parameters(NamedTuple):
    """Parameters of one cycle, SI throughout. The comment gives the unit of each field."""

    # room -----------------------------------------------------------------------------------
    room_temp: float  # [K] of the air drawn into the machine
    room_humidity_ratio: float  # [kg/kg] at the start, and of the air that renews the room's
    pressure: float  # [Pa] ambient
    room_volume: float  # [m3] of the laundry room, for moisture from a leaking vent joint
    room_air_exchange: float  # [1/s] air changes of that room
    house_depressurisation: float  # [Pa] room below outdoors, positive resists the blower
    # load -----------------------------------------------------------------------------------
    dry_mass: float  # [kg] bone-dry cloth
    load_temp: float  # [K] at the start
    scorch_temp: float  # [K] at which cloth scorches and the run ends
    # Up to four kinds of cloth; those that are not there have a share of 0.
    piece_share: tuple[float, float, float, float]  # [1] of the bone-dry mass
    piece_exposure: tuple[float, float, float, float]  # [1] area per mass, relative to the test cloth
    piece_moisture: tuple[float, float, float, float]  # [kg/kg] at the start, dry basis
    piece_specific_heat: tuple[float, float, float, float]  # [J/(kg K)] of the bone-dry cloth
    piece_sorption_share: tuple[float, float, float, float]  # [1] hygroscopic capacity relative to cotton
    piece_sorption_heat: tuple[float, float, float, float]  # [J/kg] heat of sorption of the bone-dry cloth
    piece_critical_moisture: tuple[float, float, float, float]  # [kg/kg] below it no longer wet all over
    # burner ---------------------------------------------------------------------------------
    heat_source: float  # GAS_HEAT or ELECTRIC_HEAT
    firing_rate: float  # [W] gross (HHV) input with the valves open, or electric heater power
    water_per_energy: float  # [kg/J] water formed per gross heat released
    air_per_energy: float  # [kg/J] stoichiometric air per gross heat released
    primary_air: float  # [1] air drawn in at the burner's venturi, as a share of a clean one's
    # air network ----------------------------------------------------------------------------
    fan_dead_head: float  # [Pa] at reference density and full speed
    fan_slope: float  # [Pa s2/m6] of the blower's own quadratic loss at reference density
    fan_speed: float  # [1] condition of wheel and drive, 1 is healthy
    reference_density: float  # [kg/m3] at which the fan and the loss coefficients are stated
    burner_loss: float  # [Pa s2/m6] inlet and burner path
    load_loss: float  # [Pa s2/m6] drum and load
    screen_loss: float  # [Pa s2/m6] clean lint screen
    screen_loading: float  # [1] relative growth of the screen loss from a wet to a dry load
    housing_loss: float  # [Pa s2/m6] what has settled in screen housing and outlet duct, before the gasket
    drum_seal_area: float  # [m2] leak from the room into the drum
    gasket_area: float  # [m2] leak from the room in between lint screen and blower
    joint_area: float  # [m2] leak from the vent back into the room
    leak_coefficient: float  # [1] discharge coefficient of the leaks
    vent_diameter: float  # [m]
    vent_length: float  # [m] straight duct
    vent_roughness: float  # [m]
    vent_flex_factor: float  # [1] multiplies duct friction, for compressed flexible duct
    vent_minor_loss: float  # [1] sum of K of elbows and hood on the duct's velocity pressure
    vent_open_area: float  # [1] open share of the duct area at the blockage
    vent_resistance_factor: float  # [1] multiplies the whole resistance of the vent
    vent_back_pressure: float  # [Pa] to open the flap
    natural_draught: float  # [kg/s] dry air that still passes with the blower off or throttled
    # drum -----------------------------------------------------------------------------------
    transfer_base: float  # [kg/s] mass-transfer conductance at reference flow and load
    transfer_flow: float  # [kg/s] that reference flow
    transfer_exponent: float  # [1] growth of the conductance with flow
    lewis_factor: float  # [1] heat over mass transfer units
    least_uptake: float  # [1] share of a dry surface that takes up water from moister air
    reference_load: float  # [kg] bone-dry load at which transfer_base is stated
    small_load_exponent: float  # [1] a small load exposes less cloth
    overload_mass: float  # [kg] bone-dry mass at which tumbling has got much worse
    tumbling: float  # [1] 1 normal, towards 0 when the drum slips or stands still
    drum_heat_capacity: float  # [J/K] metal
    drum_conductance: float  # [W/K] metal to outlet air
    cabinet_conductance: float  # [W/K] metal through the shell to the cabinet and the room
    cabinet_share: float  # [1] of that loss that warms the air in the cabinet
    seal_from_cabinet: float  # [1] of the drum seal's leak that is cabinet air, the rest is the room's
    housing_heat_capacity: float  # [J/K] blower housing and outlet duct
    housing_conductance: float  # [W/K] those to the exhaust air
    chamber_heat_capacity: float  # [J/K] sheet metal of the burner's chamber
    chamber_conductance: float  # [W/K] that to the burner's air
    # motor and electrics --------------------------------------------------------------------
    line_voltage: float  # [V]
    motor_power: float  # [W] with the load as it is at the start
    motor_power_fall: float  # [1] of it, from the load at the start to the bone-dry one
    motor_stop_time: float  # [s] at which a contact lets the motor go (NEVER: it does not)
    motor_heat_share: float  # [1] of the motor's power that plenty of intake air takes up
    timer_resistance: float  # [ohm] timer motor
    igniter_resistance: float  # [ohm] hot
    holding_resistance: float  # [ohm] holding coil of the first valve
    assist_resistance: float  # [ohm] assist coil of the first valve
    main_coil_resistance: float  # [ohm] coil of the second valve
    pull_in_share: float  # [1] of line voltage at which a load counts as energised
    # ignition -------------------------------------------------------------------------------
    igniter_warm_up: float  # [s] heat call to flame sensor opening, from cold
    sensor_cool_down: float  # [s] for the flame sensor to reclose, from hot
    sensor_stuck: float  # 0 works, 1 stuck closed, 2 stuck open
    coil_open_temp: float  # [K] above which a failing main coil goes open (NEVER: healthy)
    coil_reclose_temp: float  # [K] below which it conducts again
    coil_rise: float  # [K] steady rise of the energised coil above the burner compartment
    coil_lag: float  # [s]
    # thermostats ----------------------------------------------------------------------------
    cut_out: float  # [K] exhaust thermostat opens
    cut_in: float  # [K] exhaust thermostat closes again
    exhaust_lag: float  # [s]
    exhaust_metal_share: float  # [1] of the blower housing's temperature in what the thermostat feels
    bias_rise: float  # [K] apparent rise by the bias heater when energised
    high_limit_cut_out: float  # [K]
    high_limit_cut_in: float  # [K]
    high_limit_lag: float  # [s]
    high_limit_coupling: float  # [1] share of the rise at the burner above the room felt by the element
    high_limit_metal_share: float  # [1] of the chamber's temperature, the rest the air's, in that rise
    thermal_cutoff: float  # [K] one-shot
    cutoff_lag: float  # [s]
    cutoff_coupling: float  # [1] share of the same rise felt by the one-shot cut-off
    # controls -------------------------------------------------------------------------------
    program: float  # AUTO, TIMED or AIR_ONLY
    timer_wiring: float  # SHUNT_EXHAUST_THERMOSTAT or SHUNT_WHOLE_CHAIN
    low_heat: float  # 0 or 1: bias heater energised
    dial_heat: float  # [s] of dial travel in which heat may be called
    dial_cool_down: float  # [s] of dial travel after it
    timer_works: float  # 1, or 0 for a dead timer motor
    cutoff_intact: float  # 1, or 0 for a thermal cut-off already blown at the start
    # limits of the computation --------------------------------------------------------------
    time_limit: float  # [s]
    stop_moisture: float  # [kg/kg] end the run when the load reaches it; negative: do not
    marked_moisture: float  # [kg/kg] whose first crossing is recorded
    rel_tolerance: float  # [1] of the integrator
