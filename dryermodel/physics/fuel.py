"""Fuel gas: orifice, firing rate, regulator, altitude, meter, and what combustion adds to the air.

Gas volumes are standard volumes, dry, at 60 degF (288.71 K) and 14.73 psia (101560 Pa), the trade's
"30 inches of mercury" (30 inHg at 0 degC is 101592 Pa, 0.03 % more). Heats are gross (HHV) unless named.
Gas work, leak test and combustion checks are for a qualified person where local rules say so.

References
----------
1. NFPA 54 / ANSI Z223.1, National Fuel Gas Code (2015), Annex E and the altitude rule of the code.
2. Block E Fuel Gas Systems, appendix 2, BCcampus (2023), open plumbing textbook: orifice tables.
3. Standard enthalpies of formation, GRI-Mech 3.0 species data.
4. ANSI/ASME B94.11M, Twist Drills: number sizes 1 to 80 (from memory; five sizes
   checked: 80, 72, 65 and 62 against [2], 11 against a rating plate).
"""

from __future__ import annotations

import math
from typing import NamedTuple

from dryermodel.physics.moist_air import STANDARD_PRESSURE

BTU = 1055.05585262
"""[J] International Table British thermal unit."""
FT3 = 0.3048**3
"""[m3] Cubic foot."""
INCH = 0.0254
"""[m] Inch."""
INCH_OF_WATER = 249.08891
"""[Pa] Conventional inch of water (1000 kg/m3, standard gravity)."""
GAS_STANDARD_TEMP = 288.70555555555556
"""[K] 60 degF, at which gas volumes are stated."""
GAS_STANDARD_PRESSURE = 101560.0
"""[Pa] 14.73 psia, at which gas volumes are stated."""

ORIFICE_CONSTANT = 1658.5 * (FT3 / 3600.0) / INCH**2 / math.sqrt(INCH_OF_WATER)
"""[m3/(s m2 Pa^0.5)] the trade's 1658.5 ft3/h per in2 and root inch of water, in SI: 1.2812."""


class Gas(NamedTuple):
    """A fuel gas, by what a dryer's burner needs to know of it."""

    heating_value: float  # [J/m3] gross, per standard volume
    specific_gravity: float  # [1] density over that of air
    water_per_energy: float  # [kg/J] water formed per gross heat
    air_per_energy: float  # [kg/J] stoichiometric dry air per gross heat


NATURAL_GAS = Gas(1025.0 * BTU / FT3, 0.60, 0.0400e-6, 0.31e-6)
"""1025 Btu/ft3, specific gravity 0.60 (common practice); water formed from [3]."""
PROPANE = Gas(2500.0 * BTU / FT3, 1.5, 0.0325e-6, 0.31e-6)
"""2500 Btu/ft3, specific gravity 1.5 (common practice); water formed from [3]."""


def orifice_flow(
    area: float, pressure_drop: float, specific_gravity: float, discharge: float = 0.90
) -> float:
    """Gas flow through an orifice: Q = 1.2812 C A sqrt(dp / SG).

    The SI twin of Q[ft3/h] = 1658.5 C A[in2] sqrt(h[in w.c.] / SG), number for number.

    Parameters
    ----------
    area : orifice area [m2].
    pressure_drop : manifold gauge pressure [Pa], at least 0.
    specific_gravity : of the gas, air is 1 [1].
    discharge : discharge coefficient [1]; 0.90 meets the tables of [2] to the printed digit.

    Returns
    -------
    Flow [m3/s] of standard gas at sea level.

    References
    ----------
    [1] Annex E, [2].

    >>> area = orifice_area(drill_diameter(72))
    >>> round(orifice_flow(area, 3.5 * INCH_OF_WATER, 0.60) / FT3 * 3600.0, 3)
    1.77
    """
    return ORIFICE_CONSTANT * discharge * area * math.sqrt(pressure_drop / specific_gravity)


def orifice_area_for(
    flow: float, pressure_drop: float, specific_gravity: float, discharge: float = 0.90
) -> float:
    """Orifice area that passes a flow, the inverse of `orifice_flow`.

    Parameters
    ----------
    flow : standard gas flow [m3/s].
    pressure_drop : manifold gauge pressure [Pa], above 0 (ZeroDivisionError at 0).
    specific_gravity : of the gas [1].
    discharge : discharge coefficient [1].

    Returns
    -------
    Area [m2].

    References
    ----------
    [1] Annex E.

    >>> area = orifice_area_for(1.66e-4, 3.5 * INCH_OF_WATER, 0.60)
    >>> round(orifice_flow(area, 3.5 * INCH_OF_WATER, 0.60), 9)
    0.000166
    """
    return flow / (ORIFICE_CONSTANT * discharge * math.sqrt(pressure_drop / specific_gravity))


def orifice_area(diameter: float) -> float:
    """Area of a round orifice: pi d^2 / 4.

    Parameters
    ----------
    diameter : of the drill [m].

    Returns
    -------
    Area [m2].

    References
    ----------
    Geometry.

    >>> round(orifice_area(0.0025) * 1e6, 4)
    4.9087
    """
    return 0.25 * math.pi * diameter * diameter


def firing_rate(flow: float, heating_value: float) -> float:
    """Gross heat input: flow times heating value.

    Parameters
    ----------
    flow : standard gas flow [m3/s].
    heating_value : gross [J/m3].

    Returns
    -------
    Firing rate [W].

    References
    ----------
    Definition of the heating value.

    >>> round(firing_rate(1.66e-4, NATURAL_GAS.heating_value))
    6340
    """
    return flow * heating_value


def wobbe_index(heating_value: float, specific_gravity: float) -> float:
    """Wobbe index HHV / sqrt(SG): the heat input of one orifice at one pressure goes with it.

    Parameters
    ----------
    heating_value : gross [J/m3].
    specific_gravity : of the gas [1], above 0.

    Returns
    -------
    Wobbe index [J/m3].

    References
    ----------
    [1] Annex E.

    >>> gas = PROPANE
    >>> round(wobbe_index(*gas[:2]) / wobbe_index(*NATURAL_GAS[:2]), 3)
    1.543
    """
    return heating_value / math.sqrt(specific_gravity)


def manifold_pressure(supply: float, set_point: float, regulator_drop: float) -> float:
    """Pressure behind the appliance regulator.

    The set point while the supply is at least set point plus drop; a starved regulator stands wide
    open and passes the supply less its drop, never below 0.

    Parameters
    ----------
    supply : gauge pressure ahead of the regulator [Pa].
    set_point : that the regulator holds [Pa]; common practice 870 Pa (3.5 in w.c.) natural gas.
    regulator_drop : lost in the wide-open regulator and valve [Pa].

    Returns
    -------
    Manifold gauge pressure [Pa].

    References
    ----------
    Common practice: no published curve; a regulator's droop below its set point is neglected.

    >>> manifold_pressure(1740.0, 870.0, 250.0)
    870.0
    >>> manifold_pressure(750.0, 870.0, 250.0)
    500.0
    """
    return min(set_point, max(0.0, supply - regulator_drop))


def fixed_orifice_rate(
    rated: float, manifold: float, rated_manifold: float, wobbe_ratio: float, pressure: float
) -> float:
    """Heat input of an orifice nobody changed, away from its rated conditions.

    rate = rated sqrt(manifold/rated_manifold) wobbe_ratio sqrt(P/101325). Thin air thins the gas as
    well: the volume flow rises as P^-0.5 and the density falls as P, so the input falls as P^0.5.
    This is physics, not permission: the code asks for `altitude_rule_factor`, which derates more.

    Parameters
    ----------
    rated : firing rate on the plate [W], at sea level.
    manifold : actual manifold gauge pressure [Pa], at least 0.
    rated_manifold : that of the plate [Pa], above 0.
    wobbe_ratio : Wobbe index of the gas over that of the rated gas [1].
    pressure : ambient [Pa].

    Returns
    -------
    Firing rate [W].

    References
    ----------
    [1] Annex E for pressure and Wobbe index; the altitude factor is the ideal-gas law.

    >>> round(fixed_orifice_rate(6448.0, 500.0, 870.0, 1.0, 101325.0))
    4888
    """
    density_factor = math.sqrt(pressure / STANDARD_PRESSURE)
    return rated * math.sqrt(manifold / rated_manifold) * wobbe_ratio * density_factor


def altitude_rule_factor(altitude: float) -> float:
    """Share of the rated input that the code's rule allows: 4 % less per 1000 ft of elevation.

    The rule applies above 2000 ft (609.6 m) and then counts from sea level, so it steps from 1 to 0.92
    there. It is what an installation is checked against; local code and the rating plate decide.

    Parameters
    ----------
    altitude : elevation [m].

    Returns
    -------
    Factor on the rated input [1], never below 0.

    References
    ----------
    [1] as quoted in the trade press: 5000 ft gives 0.80.

    >>> round(altitude_rule_factor(1524.0), 3)
    0.8
    >>> altitude_rule_factor(609.6)
    1.0
    """
    if altitude <= 609.6 + 1e-6:
        return 1.0
    return max(0.0, 1.0 - 0.04 * altitude / 304.8)


# fmt: off
DRILL_INCHES = (
    .2280, .2210, .2130, .2090, .2055, .2040, .2010, .1990, .1960, .1935,  # 1 to 10
    .1910, .1890, .1850, .1820, .1800, .1770, .1730, .1695, .1660, .1610,  # 11 to 20
    .1590, .1570, .1540, .1520, .1495, .1470, .1440, .1405, .1360, .1285,  # 21 to 30
    .1200, .1160, .1130, .1110, .1100, .1065, .1040, .1015, .0995, .0980,  # 31 to 40
    .0960, .0935, .0890, .0860, .0820, .0810, .0785, .0760, .0730, .0700,  # 41 to 50
    .0670, .0635, .0595, .0550, .0520, .0465, .0430, .0420, .0410, .0400,  # 51 to 60
    .0390, .0380, .0370, .0360, .0350, .0330, .0320, .0310, .0292, .0280,  # 61 to 70
    .0260, .0250, .0240, .0225, .0210, .0200, .0180, .0160, .0145, .0135,  # 71 to 80
)
"""[in] Diameters of the number drills 1 to 80 [4]."""
# fmt: on


def drill_diameter(number: int) -> float:
    """Diameter of a number drill.

    Parameters
    ----------
    number : drill number [1], 1 (largest) to 80 (smallest).

    Returns
    -------
    Diameter [m]. ValueError outside 1 to 80.

    References
    ----------
    [4].

    >>> round(drill_diameter(42) * 1000.0, 3)
    2.375
    """
    if not 1 <= number <= 80:
        raise ValueError("drill number must be from 1 to 80")
    return DRILL_INCHES[number - 1] * INCH


def nearest_drill(diameter: float) -> int:
    """Number of the drill nearest in diameter; of two equally near, the smaller drill.

    Parameters
    ----------
    diameter : [m], above 0. ValueError otherwise.

    Returns
    -------
    Drill number [1]; diameters beyond the table give its end, 1 or 80.

    References
    ----------
    [4].

    >>> nearest_drill(0.00238)
    42
    """
    if not diameter > 0.0:
        raise ValueError("orifice diameter must be above 0 m")
    nearest = 80
    for number in range(79, 0, -1):
        if abs(drill_diameter(number) - diameter) < abs(drill_diameter(nearest) - diameter):
            nearest = number
    return nearest


def meter_firing_rate(dial_volume: float, seconds: float, heating_value: float) -> float:
    """Firing rate by clocking the meter: one turn of the test dial, all other gas off.

    Parameters
    ----------
    dial_volume : gas per turn [m3]; multiply it by `gas_volume_factor` for standard volume.
    seconds : time of one turn [s], above 0. ValueError otherwise.
    heating_value : gross [J/m3].

    Returns
    -------
    Firing rate [W].

    References
    ----------
    Trade practice: 3600/seconds times dial volume times heating value.

    >>> round(meter_firing_rate(0.5 * FT3, 29.0, 1000.0 * BTU / FT3) * 3600.0 / BTU)
    62069
    """
    if not seconds > 0.0:
        raise ValueError("time of one dial turn must be above 0 s")
    return firing_rate(dial_volume / seconds, heating_value)


def gas_volume_factor(T: float, pressure: float) -> float:
    """Standard gas volume per metered volume: (288.71/T)(P/101560), ideal gas.

    Parameters
    ----------
    T : gas temperature at the meter [K], above 0.
    pressure : absolute gas pressure at the meter [Pa], ambient plus gauge.

    Returns
    -------
    Factor [1] to 60 degF and 14.73 psia; 1 for a meter that corrects for both itself.

    References
    ----------
    Ideal-gas law; the standard state is the module's.

    >>> round(gas_volume_factor(277.6, 84308.0 + 1740.0), 3)
    0.881
    """
    return (GAS_STANDARD_TEMP / T) * (pressure / GAS_STANDARD_PRESSURE)


def minimum_combustion_air(firing_rate: float, air_per_energy: float) -> float:
    """Stoichiometric air of a firing rate. Less through the burner means carbon monoxide.

    Parameters
    ----------
    firing_rate : gross heat input [W].
    air_per_energy : stoichiometric dry air per gross heat [kg/J].

    Returns
    -------
    Dry air [kg/s]; a real burner needs clearly more.

    References
    ----------
    [3]: 0.31 kg/MJ gross for natural gas.

    >>> round(minimum_combustion_air(6448.0, NATURAL_GAS.air_per_energy) * 1000.0, 2)
    2.0
    """
    return firing_rate * air_per_energy
