"""Heat and moisture exchange in the drum, and between air and metal.

The load is one well-mixed mass of cloth; the air crosses it once, in transfer units (NTU). Water
leaves at the surface humidity of the cloth, which falls below saturation as the cloth dries.

References
----------
.. [1] F. P. Incropera et al., Fundamentals of Heat and Mass Transfer, 6th ed., ch. 11 (effectiveness
   with one stream of infinite capacity rate) and sec. 6.7 (heat and mass transfer analogy).
"""

from __future__ import annotations

import math
from typing import NamedTuple

from dryermodel.physics.moist_air import moist_specific_heat, vapour_enthalpy


class Exchange(NamedTuple):
    """What passes between air and load, per second."""

    convection: float  # [W] sensible heat from air to load
    evaporation: float  # [kg/s] water from load to air, negative when it condenses
    vapour_heat: float  # [W] enthalpy that leaves the load with the vapour


def transfer_conductance(
    dry_flow: float,
    dry_mass: float,
    tumbling: float,
    base: float,
    reference_flow: float,
    exponent: float,
    reference_load: float,
    small_load_exponent: float,
    overload_mass: float,
) -> float:
    """Mass-transfer conductance between air and tumbling cloth [kg/s].

    ``beta = base (m/m0)**exponent * g(load) * tumbling`` with
    ``g = (M/M0)**s (1 + (M0/Mo)**4) / (1 + (M/Mo)**4)``: a small load exposes less cloth, an
    over-full drum does not open its load. The form and the constants are fitted, not measured.

    Parameters
    ----------
    dry_flow : float
        Dry-air flow through the drum [kg/s].
    dry_mass : float
        Bone-dry cloth [kg].
    tumbling : float
        1 normal, towards 0 when the drum stands still [1].
    base, reference_flow, exponent : float
        Conductance [kg/s] at that flow [kg/s] and its growth with flow [1].
    reference_load, small_load_exponent, overload_mass : float
        Load at which `base` holds [kg], growth below it [1], mass of an over-full drum [kg].

    Examples
    --------
    >>> transfer_conductance(0.06, 3.8, 1.0, 0.15, 0.06, 0.6, 3.8, 0.7, 9.0)
    0.15
    """
    relative = dry_mass / reference_load
    crowding = (1.0 + (reference_load / overload_mass) ** 4) / (1.0 + (dry_mass / overload_mass) ** 4)
    load_factor = math.pow(relative, small_load_exponent) * crowding
    return base * math.pow(dry_flow / reference_flow, exponent) * load_factor * tumbling


def effectiveness(transfer_units: float) -> float:
    """``1 - exp(-NTU)`` [1]: one stream against a mass of uniform state [1]_.

    Examples
    --------
    >>> round(effectiveness(1.0), 4)
    0.6321
    """
    return -math.expm1(-transfer_units)


def drum_exchange(
    dry_flow: float,
    inlet_temp: float,
    inlet_humidity_ratio: float,
    load_temp: float,
    surface_humidity_ratio: float,
    wetness: float,
    conductance: float,
    lewis_factor: float,
) -> Exchange:
    """Heat and water between the air stream and the load.

    ``q = m cp (1 - exp(-Le beta/m)) (T_in - T_load)`` and
    ``m_ev = m (1 - exp(-beta f/m)) (w_s - w_in)``. A wet load without losses therefore settles at
    the thermodynamic wet bulb of the inlet air when transfer is complete, a bone-dry one at the
    inlet temperature.

    Parameters
    ----------
    dry_flow : float
        Dry air through the drum [kg/s], positive.
    inlet_temp, load_temp : float
        Temperatures [K].
    inlet_humidity_ratio, surface_humidity_ratio : float
        Of the inlet air, and of air in equilibrium with the cloth [kg/kg].
    wetness : float
        Share of the surface that still gives off water freely [1].
    conductance : float
        From :func:`transfer_conductance` [kg/s].
    lewis_factor : float
        Heat over mass transfer units [1].
    """
    units = conductance / dry_flow
    heat = effectiveness(lewis_factor * units)
    mass = effectiveness(wetness * units)
    cp = moist_specific_heat(inlet_humidity_ratio)
    convection = dry_flow * cp * heat * (inlet_temp - load_temp)
    evaporation = dry_flow * mass * (surface_humidity_ratio - inlet_humidity_ratio)
    return Exchange(convection, evaporation, evaporation * vapour_enthalpy(load_temp))


def metal_exchange(capacity_rate: float, conductance: float, air_temp: float, metal_temp: float) -> float:
    """Heat from the passing air to the drum's metal [W].

    Effectiveness form, so that the heat stays bounded however little air passes.

    Parameters
    ----------
    capacity_rate : float
        Of the air [W/K], positive.
    conductance : float
        UA [W/K].
    air_temp, metal_temp : float
        Temperatures [K].

    Examples
    --------
    >>> round(metal_exchange(60.0, 20.0, 320.0, 310.0), 1)
    170.1
    """
    return capacity_rate * effectiveness(conductance / capacity_rate) * (air_temp - metal_temp)
