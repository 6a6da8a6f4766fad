"""Heat and moisture exchange in the drum, and between air and metal.

The load is one well-mixed mass of cloth; the air crosses it once, in transfer units (NTU). Water
leaves at the surface humidity of the cloth, which falls below saturation as the cloth dries.

References
----------
.. [1] F. P. Incropera et al., Fundamentals of Heat and Mass Transfer, 6th ed., ch. 11 (effectiveness
   with one stream of infinite capacity rate) and sec. 6.7 (heat and mass transfer analogy).
.. [2] 10 CFR 430.32(h), US minimum efficiencies of 1994 and 2015: what the conductance is fitted to.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from dryermodel.physics.moist_air import moist_specific_heat, vapour_enthalpy

UPTAKE_RAMP = 1.0e-3
"""How much moister than the surface [kg/kg] the air is when the least uptake holds in full, assumed."""


class Surface(NamedTuple):
    """One kind of cloth in the drum as the air meets it."""

    area_share: float  # [1] of the exposed area of the whole load
    temp: float  # [K]
    humidity_ratio: float  # [kg/kg] of air in equilibrium with it
    wetness: float  # [1] share of it that gives off water freely


class Surfaces(NamedTuple):
    """Kinds of cloth that tumble together; those that are not there have an area share of 0."""

    first: Surface
    second: Surface
    third: Surface
    fourth: Surface


class LoadSurface(NamedTuple):
    """A whole load as the air meets it."""

    area: float  # [1] sum of the area shares: 1, or 0 where no cloth is exposed
    temp: float  # [K] mean by area
    wet_area: float  # [1] sum of area shares times wetness
    humidity_ratio: float  # [kg/kg] mean by wet area
    driest: float  # [1] least wetness of any


class Stream(NamedTuple):
    """The air on its way through the load: how strongly it exchanges, and its state in the mean.

    That state is given as where the air would settle in an endless drum and how far it is from there
    in the mean, since their sum would lose digits.
    """

    heat_conductance: float  # [W/K] of the whole load
    mass_conductance: float  # [kg/s] of the whole load, its surface wet all over
    settled_temp: float  # [K]
    warmer: float  # [K] in the mean
    settled_humidity_ratio: float  # [kg/kg]
    moister: float  # [kg/kg] in the mean
    bare_humidity_ratio: float  # [kg/kg] in the mean, without the least uptake
    least_uptake: float  # [1] share of a dry surface that takes up water from moister air


class Exchange(NamedTuple):
    """What passes between air and cloth, per second."""

    convection: float  # [W] sensible heat from air to cloth
    evaporation: float  # [kg/s] water from cloth to air, negative when it condenses
    vapour_heat: float  # [W] enthalpy that leaves the cloth with the vapour


class Exchanges(NamedTuple):
    """One for each kind of cloth."""

    first: Exchange
    second: Exchange
    third: Exchange
    fourth: Exchange


def load_factor(
    dry_mass: float, reference_load: float, small_load_exponent: float, overload_mass: float
) -> float:
    """How well a load of this size is exposed to the air, relative to the reference load [1].

    ``g = (M/M0)**s (1 + (M0/Mo)**4) / (1 + (M/Mo)**4)``: a small load exposes less cloth, an over-full
    drum does not open its load. The form is assumed and its constants are fitted [2]_, not measured.

    Parameters
    ----------
    dry_mass : float
        Bone-dry cloth [kg].
    reference_load, small_load_exponent, overload_mass : float
        Load of factor 1 [kg], growth below it [1], mass of an over-full drum [kg].

    Examples
    --------
    >>> load_factor(3.8, 3.8, 0.7, 9.0)
    1.0
    """
    crowding = _crowding(reference_load / overload_mass) / _crowding(dry_mass / overload_mass)
    return math.pow(dry_mass / reference_load, small_load_exponent) * crowding


def _crowding(share: float) -> float:
    """``1 + share**4``, by products: a power is rounded in another way by each engine's library."""
    square = share * share
    return 1.0 + square * square


def transfer_conductance(dry_flow: float, base: float, reference_flow: float, exponent: float) -> float:
    """Mass-transfer conductance between air and tumbling cloth [kg/s].

    ``beta = base (m/m0)**exponent``, with `base` already multiplied by :func:`load_factor` and by how
    well the drum tumbles. A power of the flow as in forced convection [1]_, its constants fitted [2]_.

    Parameters
    ----------
    dry_flow : float
        Dry-air flow through the drum [kg/s].
    base, reference_flow, exponent : float
        Conductance [kg/s] at that flow [kg/s] and its growth with flow [1].

    Examples
    --------
    >>> transfer_conductance(0.06, 0.15, 0.06, 0.6)
    0.15
    """
    return base * math.pow(dry_flow / reference_flow, exponent)


def effectiveness(transfer_units: float) -> float:
    """``1 - exp(-NTU)`` [1]: one stream against a mass of uniform state [1]_.

    Examples
    --------
    >>> round(effectiveness(1.0), 4)
    0.6321
    """
    return -math.expm1(-transfer_units)


def mean_difference(transfer_units: float) -> float:
    """``(1 - exp(-N))/N`` [1]: a difference along `N` transfer units [1]_, in the mean, over its first value.

    Examples
    --------
    >>> mean_difference(0.0), round(mean_difference(1.0), 4)
    (1.0, 0.6321)
    """
    if transfer_units < 1.0e-12:
        return 1.0
    return -math.expm1(-transfer_units) / transfer_units


def uptake_wetness(surface: Surface, humidity_ratio: float, least: float) -> float:
    """Share of a surface that exchanges water with air of `humidity_ratio` [kg/kg]; more in uptake.

    Examples
    --------
    >>> bone_dry = Surface(1.0, 300.0, 0.0, 0.0)
    >>> uptake_wetness(bone_dry, 0.0, 0.1), uptake_wetness(bone_dry, 0.01, 0.1)
    (0.0, 0.1)
    """
    if surface.wetness >= least:
        return surface.wetness
    pull = min(max((humidity_ratio - surface.humidity_ratio) / UPTAKE_RAMP, 0.0), 1.0)
    return surface.wetness + (least - surface.wetness) * pull


def with_surface(load: LoadSurface, s: Surface) -> LoadSurface:
    """Put one more kind of cloth into a load [1]_; means stay sums until `load_surface` has them all."""
    if s.area_share == 0.0:
        return load
    free = s.area_share * s.wetness
    return LoadSurface(
        load.area + s.area_share,
        load.temp + s.area_share * s.temp,
        load.wet_area + free,
        load.humidity_ratio + free * s.humidity_ratio,
        min(load.driest, s.wetness),
    )


def load_surface(surfaces: Surfaces) -> LoadSurface:
    """Put kinds of cloth together to a load: side by side in one stream [1]_.

    Parameters
    ----------
    surfaces : Surfaces
        The cloth.
    """
    one = surfaces.first
    load = with_surface(LoadSurface(0.0, 0.0, 0.0, 0.0, 1.0), one)
    load = with_surface(with_surface(load, surfaces.second), surfaces.third)
    load = with_surface(load, surfaces.fourth)
    if load.area == 0.0:
        return LoadSurface(0.0, one.temp, 0.0, one.humidity_ratio, 1.0)
    if load.wet_area == 0.0:
        return LoadSurface(load.area, load.temp / load.area, 0.0, one.humidity_ratio, load.driest)
    return LoadSurface(
        load.area,
        load.temp / load.area,
        load.wet_area,
        load.humidity_ratio / load.wet_area,
        load.driest,
    )


class Approach(NamedTuple):
    """Where a quantity of the air settles along the cloth, and how far it is from there in the mean."""

    settled: float
    away: float


def approach(inlet: float, settled: float, transfer_units: float) -> Approach:
    """Mean along the drum of what runs from `inlet` towards `settled`: ``e + (i - e)(1 - exp(-N))/N`` [1]_.

    Examples
    --------
    >>> approach(400.0, 300.0, 0.0)
    Approach(settled=300.0, away=100.0)
    """
    return Approach(settled, (inlet - settled) * mean_difference(transfer_units))


def humidity_in_uptake(
    surfaces: Surfaces, transfer_units: float, inlet: float, bare: float, least: float
) -> Approach:
    """Humidity ratio along the drum [kg/kg] when dry cloth takes up water too.

    Parameters
    ----------
    surfaces : Surfaces
        The cloth.
    transfer_units : float
        Of the whole load, wet all over [1].
    inlet, bare : float
        Humidity ratio at the inlet, and in the mean if `least` were 0 [kg/kg].
    least : float
        Least share of a surface in uptake [1].
    """
    first = surfaces.first.area_share * uptake_wetness(surfaces.first, bare, least)
    second = surfaces.second.area_share * uptake_wetness(surfaces.second, bare, least)
    third = surfaces.third.area_share * uptake_wetness(surfaces.third, bare, least)
    fourth = surfaces.fourth.area_share * uptake_wetness(surfaces.fourth, bare, least)
    wet = first + second + third + fourth
    weighted = (
        first * surfaces.first.humidity_ratio
        + second * surfaces.second.humidity_ratio
        + third * surfaces.third.humidity_ratio
        + fourth * surfaces.fourth.humidity_ratio
    )
    if wet == 0.0:
        return Approach(inlet, 0.0)
    return approach(inlet, weighted / wet, transfer_units * wet)


def drum_stream(
    dry_flow: float,
    inlet_temp: float,
    inlet_humidity_ratio: float,
    surfaces: Surfaces,
    load: LoadSurface,
    conductance: float,
    lewis_factor: float,
    least_uptake: float,
) -> Stream:
    """The air on its way through a load of unlike pieces.

    All kinds of cloth lie side by side in one stream; each takes part by its share of the exposed area.
    Along the stream ``dT/dx = sum N_i (T_i - T)`` and ``dw/dx = sum N_i f_i (w_i - w)``, whose means have
    a closed form [1]_: ``T_eq + (T_in - T_eq)(1 - exp(-N))/N`` with ``N = sum N_i`` and
    ``T_eq = sum N_i T_i / N``, and alike for humidity. The sensible heat of the vapour on its way is
    neglected: against the coupled integral the outlet air moves by up to 0.5 K.

    Parameters
    ----------
    dry_flow : float
        Dry air through the drum [kg/s], positive.
    inlet_temp : float
        [K].
    inlet_humidity_ratio : float
        [kg/kg].
    surfaces : Surfaces
        The cloth.
    load : LoadSurface
        The same put together.
    conductance : float
        Mass-transfer conductance of the whole load, its surface wet all over [kg/s].
    lewis_factor : float
        Heat over mass transfer units [1].
    least_uptake : float
        Least share of a surface that takes up water from moister air [1]: dry cloth is not inert.
    """
    units = conductance / dry_flow
    heat = approach(inlet_temp, load.temp, lewis_factor * units * load.area)
    water = approach(inlet_humidity_ratio, load.humidity_ratio, units * load.wet_area)
    bare = water.settled + water.away
    if load.driest < least_uptake:
        water = humidity_in_uptake(surfaces, units, inlet_humidity_ratio, bare, least_uptake)
    heat_conductance = lewis_factor * conductance * moist_specific_heat(inlet_humidity_ratio)
    return Stream(
        heat_conductance, conductance, heat.settled, heat.away, water.settled, water.away, bare, least_uptake
    )


def drum_exchange(stream: Stream, surface: Surface) -> Exchange:
    """Heat and water between the air and one kind of cloth.

    ``q_i = m cp N_i (T - T_i)`` and ``m_ev,i = m N_i f_i (w_i - w)`` [1]_ with the stream's means ``T`` and
    ``w``. A single wet load without losses therefore settles at the thermodynamic wet bulb of the inlet
    air when transfer is complete, a bone-dry one at the inlet temperature.

    Parameters
    ----------
    stream : Stream
        From :func:`drum_stream`.
    surface : Surface
        The cloth.
    """
    if surface.area_share == 0.0:
        return Exchange(0.0, 0.0, 0.0)
    warmer = (stream.settled_temp - surface.temp) + stream.warmer
    convection = stream.heat_conductance * surface.area_share * warmer
    free = surface.area_share * uptake_wetness(surface, stream.bare_humidity_ratio, stream.least_uptake)
    drier = (surface.humidity_ratio - stream.settled_humidity_ratio) - stream.moister
    evaporation = stream.mass_conductance * free * drier
    return Exchange(convection, evaporation, evaporation * vapour_enthalpy(surface.temp))


def drum_exchanges(stream: Stream, surfaces: Surfaces) -> Exchanges:
    """Heat and water between the air and each kind of cloth [1]_."""
    return Exchanges(
        drum_exchange(stream, surfaces.first),
        drum_exchange(stream, surfaces.second),
        drum_exchange(stream, surfaces.third),
        drum_exchange(stream, surfaces.fourth),
    )


def exchange_sum(e: Exchanges) -> Exchange:
    """What passes between the air and the whole load: the sum of the parts [1]_.

    Examples
    --------
    >>> one, none = Exchange(100.0, 0.001, 2600.0), Exchange(0.0, 0.0, 0.0)
    >>> exchange_sum(Exchanges(one, one, none, none))
    Exchange(convection=200.0, evaporation=0.002, vapour_heat=5200.0)
    """
    return Exchange(
        e.first.convection + e.second.convection + e.third.convection + e.fourth.convection,
        e.first.evaporation + e.second.evaporation + e.third.evaporation + e.fourth.evaporation,
        e.first.vapour_heat + e.second.vapour_heat + e.third.vapour_heat + e.fourth.vapour_heat,
    )


def metal_exchange(capacity_rate: float, conductance: float, air_temp: float, metal_temp: float) -> float:
    """Heat from the passing air to the drum's metal [W].

    Effectiveness form [1]_, so that the heat stays bounded however little air passes.

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
