"""Sums done at the bench or in the laundry room: code lengths, openings, weights, set points.

They stand beside the model, not inside it: the cycle uses none of them, and they may raise ValueError.
Codes are cited as published models; the local code and the rating plate decide.

References
----------
1. International Residential Code, section M1502 and its table of dryer duct fitting lengths.
2. ASHRAE Handbook - Fundamentals, ch. 21, Duct design (velocity pressure, Darcy equation).
3. UFC 3-410-02N, make-up air for clothes dryers.
4. Uniform Mechanical Code 504.3.1, make-up air opening of a dryer closet.
5. US EPA, emission factors for stationary combustion (values from memory).
"""

from __future__ import annotations

import math
from typing import NamedTuple

from dryermodel.physics.duct import duct_area, friction_factor, vent_reynolds
from dryermodel.physics.fuel import altitude_rule_factor, fixed_orifice_rate
from dryermodel.physics.moist_air import standard_pressure

FOOT = 0.3048
"""[m]."""
CODE_LENGTH_LIMIT = 35.0 * FOOT
"""[m] Longest code length of a dryer duct, fittings deducted [1]."""
MAKEUP_AIR_FLOW = 200.0 * FOOT**3 / 60.0
"""[m3/s] Exhaust above which make-up air is required: 200 cfm [3]."""
CLOSET_OPENING = 100.0 * 0.0254**2
"""[m2] Least make-up air opening of a dryer closet: 100 in2 [4]."""
OPENING_COEFFICIENT = 0.6
"""[1] Discharge coefficient of a plain opening, sharp-edged."""
CO2_NATURAL_GAS = 53.06 / 1055.05585262e6
"""[kg/J] CO2 per gross heat of natural gas: 53.06 kg/MMBtu [5], from memory."""
CO2_PROPANE = 62.9 / 1055.05585262e6
"""[kg/J] CO2 per gross heat of propane: 62.9 kg/MMBtu [5], from memory."""


class Fittings(NamedTuple):
    """A number for each kind of fitting of a 4 in vent: how many, or a length or loss each."""

    mitred_45: float = 0.0
    mitred_90: float = 0.0
    radius_6in_45: float = 0.0
    radius_6in_90: float = 0.0
    radius_8in_45: float = 0.0
    radius_8in_90: float = 0.0


CODE_DEDUCTIONS = Fittings(2.5 * FOOT, 5.0 * FOOT, 1.0 * FOOT, 1.75 * FOOT, 1.0 * FOOT, 1.58 * FOOT)
"""[m] Length each fitting takes off the code's limit [1]."""
FITTING_LOSSES = Fittings(0.3, 0.6, 0.15, 0.25, 0.12, 0.20)
"""[1] Loss coefficient K of each fitting: mitred common practice (0.35 to 1.0 a 90), radius assumed."""


def of_all(fittings: Fittings, each: Fittings) -> float:
    """Sum over all fittings of what one of each kind takes.

    Parameters
    ----------
    fittings : numbers of each kind [1].
    each : what one of each kind takes, a length [m] or a loss coefficient [1].

    Returns
    -------
    In the unit of `each`.

    References
    ----------
    None: a sum.

    >>> of_all(Fittings(mitred_90=2), Fittings(mitred_90=0.5))
    1.0
    """
    total = fittings.mitred_45 * each.mitred_45 + fittings.mitred_90 * each.mitred_90
    total += fittings.radius_6in_45 * each.radius_6in_45 + fittings.radius_6in_90 * each.radius_6in_90
    return total + fittings.radius_8in_45 * each.radius_8in_45 + fittings.radius_8in_90 * each.radius_8in_90


def code_length_allowed(fittings: Fittings) -> float:
    """Straight duct the code still allows: 35 ft less the deduction of every fitting.

    Parameters
    ----------
    fittings : numbers of each kind [1].

    Returns
    -------
    Length [m]; negative when the fittings alone are too many.

    References
    ----------
    [1].

    >>> round(code_length_allowed(Fittings(mitred_90=2)) / FOOT, 2)
    25.0
    >>> round(code_length_allowed(Fittings(radius_6in_90=2, radius_8in_90=1)) / FOOT, 2)
    29.92
    """
    return CODE_LENGTH_LIMIT - of_all(fittings, CODE_DEDUCTIONS)


def fittings_loss(fittings: Fittings) -> float:
    """Sum of the loss coefficients of the fittings.

    Parameters
    ----------
    fittings : numbers of each kind [1].

    Returns
    -------
    Sum of K [1], on the duct's velocity pressure.

    References
    ----------
    Common practice for mitred elbows; radius elbows assumed below them.

    >>> round(fittings_loss(Fittings(mitred_90=2, radius_6in_90=1)), 2)
    1.45
    """
    return of_all(fittings, FITTING_LOSSES)


def velocity_pressure(flow: float, diameter: float, density: float) -> float:
    """Velocity pressure in a round duct: rho v^2 / 2.

    Parameters
    ----------
    flow : volume flow [m3/s].
    diameter : of the duct [m], above 0.
    density : of the air [kg/m3].

    Returns
    -------
    Pressure [Pa].

    References
    ----------
    [2]; the trade's (fpm/4005)^2 in w.c. at 1.2 kg/m3.

    >>> round(velocity_pressure(150.0 * FOOT**3 / 60.0, 4.0 * 0.0254, 1.2) / 249.08891, 3)
    0.184
    """
    velocity = flow / duct_area(diameter)
    return 0.5 * density * velocity * velocity


def duct_friction(flow: float, diameter: float, length: float, roughness: float, density: float) -> float:
    """Friction pressure of straight round duct: f (L/D) rho v^2 / 2.

    Parameters
    ----------
    flow : volume flow [m3/s].
    diameter : of the duct [m], above 0.
    length : of the duct [m].
    roughness : of its wall [m].
    density : of the air [kg/m3].

    Returns
    -------
    Pressure [Pa].

    References
    ----------
    [2].

    >>> cfm, inch_of_water = FOOT**3 / 60.0, 249.08891
    >>> round(duct_friction(100.0 * cfm, 0.1016, 100.0 * FOOT, 0.09e-3, 1.2) / inch_of_water, 1)
    0.6
    """
    friction = friction_factor(vent_reynolds(flow * density, diameter), roughness / diameter)
    return friction * length / diameter * velocity_pressure(flow, diameter, density)


def opening_pressure(flow: float, area: float, density: float) -> float:
    """Pressure that draws a flow through a plain opening: (rho/2) (Q / (0.6 A))^2.

    Parameters
    ----------
    flow : volume flow [m3/s].
    area : free area of the opening [m2], above 0.
    density : of the air [kg/m3].

    Returns
    -------
    Pressure [Pa].

    References
    ----------
    Orifice law, discharge coefficient 0.6 (common practice). A louvre or screen takes free area off.

    >>> round(opening_pressure(150.0 * FOOT**3 / 60.0, CLOSET_OPENING, 1.2), 2)
    2.01
    """
    if not area > 0.0:
        raise ValueError("area of the opening must be above 0 m2")
    velocity = flow / (OPENING_COEFFICIENT * area)
    return 0.5 * density * velocity * velocity


def opening_area(flow: float, pressure: float, density: float) -> float:
    """Free area that draws a flow at a pressure, the inverse of `opening_pressure`.

    Parameters
    ----------
    flow : volume flow [m3/s].
    pressure : across the opening [Pa], above 0.
    density : of the air [kg/m3].

    Returns
    -------
    Area [m2].

    References
    ----------
    As `opening_pressure`.

    >>> area = opening_area(0.07, 5.0, 1.2)
    >>> round(opening_pressure(0.07, area, 1.2), 9)
    5.0
    """
    if not pressure > 0.0:
        raise ValueError("pressure across the opening must be above 0 Pa")
    return flow / (OPENING_COEFFICIENT * math.sqrt(2.0 * pressure / density))


def bone_dry_mass(conditioned: float, regain: float) -> float:
    """Bone-dry mass of cloth that has come to rest in room air: m / (1 + regain).

    Parameters
    ----------
    conditioned : mass as weighed [kg].
    regain : water it holds in that air, per bone-dry mass [kg/kg], at least 0.

    Returns
    -------
    Mass [kg].

    References
    ----------
    Definition of regain.

    >>> bone_dry_mass(4.24, 0.06)
    4.0
    """
    return conditioned / (1.0 + regain)


def apparent_set_point(set_point: float, bias_rise: float) -> float:
    """Exhaust temperature at which a thermostat with its bias heater on opens.

    Parameters
    ----------
    set_point : of the bare thermostat [K].
    bias_rise : by which the heater warms its element above the air [K].

    Returns
    -------
    Temperature of the air [K]; the thermostat reads that much too warm and so opens early.

    References
    ----------
    Published technical sheets: about 15 degF apparent.

    >>> round(apparent_set_point(341.483, 8.333), 2)
    333.15
    """
    return set_point - bias_rise


def bias_rise(power: float, rated_power: float, rated_rise: float) -> float:
    """Rise of a bias heater at another power: in proportion, as its heat loss is linear.

    Parameters
    ----------
    power : of the heater as measured [W].
    rated_power : at which the rise is known [W], above 0.
    rated_rise : at that power [K].

    Returns
    -------
    Rise [K].

    References
    ----------
    Newton's law of cooling; neglects that a faster air stream cools the element more.

    >>> bias_rise(4.0, 5.0, 8.0)
    6.4
    """
    if not rated_power > 0.0:
        raise ValueError("rated power of the bias heater must be above 0 W")
    return rated_rise * power / rated_power


def relative_deviation(measured: float, reference: float) -> float:
    """Deviation of a measured value: measured/reference - 1.

    Parameters
    ----------
    measured, reference : in one unit; reference above 0.

    Returns
    -------
    Deviation [1]; positive is over.

    References
    ----------
    Definition.

    >>> round(relative_deviation(23100.0, 22000.0), 3)
    0.05
    """
    return measured / reference - 1.0


def unadjusted_rate(rated: float, altitude: float) -> float:
    """Input of the sea-level orifice at elevation, by physics.

    Parameters
    ----------
    rated : input at sea level [W].
    altitude : elevation [m].

    Returns
    -------
    Firing rate [W].

    References
    ----------
    Ideal-gas law in the orifice equation, input with the square root of ambient pressure.

    >>> round(unadjusted_rate(22000.0, 5000.0 * FOOT))
    20068
    """
    return fixed_orifice_rate(rated, 1.0, 1.0, 1.0, standard_pressure(altitude))


def altitude_orifice(diameter: float, altitude: float) -> float:
    """Orifice that brings the input at elevation down to what the code's rule allows.

    The unadjusted orifice already loses some input to thin air; only the rest is taken off its area.
    Where the rule asks for nothing, below sea level too, the orifice stays; it is never enlarged.

    Parameters
    ----------
    diameter : of the sea-level orifice [m].
    altitude : elevation [m].

    Returns
    -------
    Diameter [m].

    References
    ----------
    Code rule over `unadjusted_rate`; the maker's kit and the code's own tables come first.

    >>> round(altitude_orifice(2.375, 5000.0 * FOOT), 3)
    2.224
    >>> altitude_orifice(2.375, 0.0), altitude_orifice(2.375, -200.0 * FOOT)
    (2.375, 2.375)
    """
    allowed = altitude_rule_factor(altitude)
    if allowed >= 1.0:
        return diameter
    share = allowed / unadjusted_rate(1.0, altitude)
    return diameter * math.sqrt(min(share, 1.0))
