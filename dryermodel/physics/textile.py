"""Cloth: how much water it holds at a humidity, how tightly, and the enthalpy of the wet load.

Blends go by mass. Cotton sets the shape of the isotherm; polyester, which holds almost nothing, scales
it. Moisture X is kg water per kg bone-dry cloth ("dry basis"); x = X/share is cotton's moisture of equal
binding. One curve serves wetting and drying: the hysteresis of real cotton, of the order of 0.01 kg/kg
(from memory), is left out.

References
----------
1. Morton, W. E., Hearle, J. W. S. (2008). Physical Properties of Textile Fibres, 4th ed., tables 6.1, 8.1.
2. ASTM D1909-13, Standard Tables of Commercial Moisture Regains for Textile Fibers.
3. ASHRAE Handbook - Applications, hygroscopic materials: cotton roving at 24 degC (from memory).
"""

from __future__ import annotations

import math
from typing import NamedTuple

from dryermodel.physics.moist_air import CP_WATER, ZERO_C

COTTON_SPECIFIC_HEAT = 1300.0
"""[J/(kg K)] Bone-dry cotton; [1] prints 1220 to 1350."""
POLYESTER_SPECIFIC_HEAT = 1030.0
"""[J/(kg K)] Dry polyester [1]."""
COTTON_REGAIN = 0.085
"""[kg/kg] Commercial regain of cotton [2]."""
POLYESTER_REGAIN = 0.004
"""[kg/kg] Commercial regain of polyester [2], value from memory."""
COTTON_HEAT_OF_WETTING = 46.0e3
"""[J/kg] Released when bone-dry cotton is wetted through [1]."""
POLYESTER_HEAT_OF_WETTING = 5.0e3
"""[J/kg] The same for polyester [1]."""

ISOTHERM_FACTOR, ISOTHERM_EXPONENT = 60.26, 1.664
"""[1] Fitted shape of cotton's isotherm: within 0.02 in humidity of [3], 0.631 at the regain of [2]."""
ISOTHERM_TEMP = 297.15
"""[K] at which the isotherm is stated, 24 degC."""
BINDING_DECAY = 22.39
"""[1] Decay of the binding heat with cotton's moisture."""
R_VAPOUR = 461.5
"""[J/(kg K)] Gas constant of water vapour."""
SATURATED_MOISTURE = 0.5
"""[kg/kg] Cotton's x past which water counts as free: the activity is within 1e-4 of 1 from 0 degC up."""
SATURATION_MOISTURE = 0.25
"""[kg/kg] Cotton's moisture where the isotherm nears 100 % humidity: its surface is wet from there up."""
WETNESS_EXPONENT = 0.7
"""[1] Fitted: how fast the surface dries below the critical moisture."""


class Cloth(NamedTuple):
    """One kind of cloth in the drum, as its enthalpy and its surface need it."""

    dry_mass: float  # [kg] bone-dry
    dry_specific_heat: float  # [J/(kg K)] of `dry_specific_heat`
    sorption_share: float  # [1] of `sorption_share`
    sorption_heat: float  # [J/kg] of `sorption_heat_dry`
    critical_moisture: float  # [kg/kg] above it the surface is wet all over


def sorption_share(cotton_fraction: float) -> float:
    """Capacity of a cotton-polyester blend for bound water relative to cotton's: c + (1-c) 0.004/0.085.

    Parameters
    ----------
    cotton_fraction : mass fraction of cotton [1], 0 to 1.

    Returns
    -------
    Share [1], 0.047 to 1.

    References
    ----------
    [2]; the blend by mass is assumed.

    >>> round(sorption_share(0.5), 4)
    0.5235
    """
    return cotton_fraction + (1.0 - cotton_fraction) * POLYESTER_REGAIN / COTTON_REGAIN


def sorption_heat_dry(cotton_fraction: float) -> float:
    """Heat of sorption of the bone-dry blend, set so that its integral is the heat of wetting.

    q0 = 22.39 (46000 c + 5000 (1-c)) / share, because the integral of q is share q0 / 22.39.

    Parameters
    ----------
    cotton_fraction : mass fraction of cotton [1], 0 to 1.

    Returns
    -------
    Differential heat of sorption at X = 0 [J/kg water], beyond the latent heat.

    References
    ----------
    [1] table 8.1.

    >>> round(sorption_heat_dry(1.0))
    1029940
    """
    polyester = 1.0 - cotton_fraction
    wetting = cotton_fraction * COTTON_HEAT_OF_WETTING + polyester * POLYESTER_HEAT_OF_WETTING
    return BINDING_DECAY * wetting / sorption_share(cotton_fraction)


def dry_specific_heat(cotton_fraction: float) -> float:
    """Specific heat of bone-dry cloth, by mass: 1300 c + 1030 (1-c).

    Parameters
    ----------
    cotton_fraction : mass fraction of cotton [1], 0 to 1.

    Returns
    -------
    Specific heat [J/(kg K)].

    References
    ----------
    [1] table 6.1.

    >>> dry_specific_heat(0.5)
    1165.0
    """
    return cotton_fraction * COTTON_SPECIFIC_HEAT + (1.0 - cotton_fraction) * POLYESTER_SPECIFIC_HEAT


def sorption_heat(X: float, share: float, heat_dry: float) -> float:
    """Differential heat of sorption q = q0 exp(-22.39 X/share): what evaporation costs beyond latent.

    Parameters
    ----------
    X : moisture [kg/kg dry cloth]; below 0 taken as 0.
    share : of `sorption_share` [1].
    heat_dry : of `sorption_heat_dry` [J/kg].

    Returns
    -------
    Heat [J/kg water].

    References
    ----------
    [1] table 8.1 for the integral; the exponential shape is fitted.

    >>> round(sorption_heat(0.05, 1.0, 1.03e6))
    336236
    """
    return heat_dry * math.exp(-BINDING_DECAY * max(0.0, X) / share)


def bound_enthalpy(X: float, share: float, heat_dry: float) -> float:
    """Enthalpy of cloth and its water beyond that of dry cloth and free water.

    e(X) = share q0/22.39 exp(-22.39 X/share), so that de/dX = -q and e -> 0 for wet cloth: wetting
    dry cloth releases e(0), the heat of wetting. Below X = 0 it goes on as a straight line of slope
    -q0, so that de/dX = -q holds there too and an integrator's trial step sees no kink.

    Parameters
    ----------
    X : moisture [kg/kg dry cloth].
    share : of `sorption_share` [1].
    heat_dry : of `sorption_heat_dry` [J/kg].

    Returns
    -------
    Enthalpy [J/kg dry cloth], above 0 for X of at least 0.

    References
    ----------
    [1] table 8.1: e(0) is 46 kJ/kg for cotton.

    >>> round(bound_enthalpy(0.0, 1.0, sorption_heat_dry(1.0)))
    46000
    """
    return share / BINDING_DECAY * sorption_heat(X, share, heat_dry) - heat_dry * min(0.0, X)


def water_activity(X: float, T: float, share: float, heat_dry: float) -> float:
    """Vapour pressure over the cloth relative to that over water.

    a = (1 - exp(-60.26 x^1.664)) exp(q(X)/461.5 (1/297.15 - 1/T)), x = X/share, at most 1. The second
    factor is Clausius-Clapeyron with the heat of sorption: hot cloth lets go of its water.

    Parameters
    ----------
    X : moisture [kg/kg dry cloth]; below 0 taken as 0.
    T : cloth temperature [K], above 0; the shift follows from the heat of sorption and has not been
        compared with isotherms measured at other temperatures.
    share : of `sorption_share` [1].
    heat_dry : of `sorption_heat_dry` [J/kg].

    Returns
    -------
    Water activity [1], 0 to 1.

    References
    ----------
    [3] for the isotherm, [1] for the heat.

    >>> round(water_activity(0.066, 297.15, 1.0, 1.03e6), 3)
    0.48
    """
    x = max(0.0, X) / share
    isotherm = 1.0 - math.exp(-ISOTHERM_FACTOR * x**ISOTHERM_EXPONENT)
    shift = sorption_heat(X, share, heat_dry) / R_VAPOUR * (1.0 / ISOTHERM_TEMP - 1.0 / T)
    return min(1.0, isotherm * math.exp(shift))


def equilibrium_moisture(rh: float, T: float, share: float, heat_dry: float) -> float:
    """Moisture of cloth at rest in air: the inverse of `water_activity` at fixed T, by bisection.

    Parameters
    ----------
    rh : relative humidity of the air [1], 0 to 1.
    T : temperature of air and cloth [K].
    share : of `sorption_share` [1].
    heat_dry : of `sorption_heat_dry` [J/kg].

    Returns
    -------
    Moisture [kg/kg dry cloth], the lowest that reaches rh; never above 0.5 share, where water is free.

    References
    ----------
    As `water_activity`.

    >>> round(equilibrium_moisture(0.5, 297.15, 1.0, 1.03e6), 4)
    0.0683
    """
    if rh <= 0.0:
        return 0.0
    low, high = 0.0, SATURATED_MOISTURE * share
    for _ in range(52):
        middle = 0.5 * (low + high)
        if water_activity(middle, T, share, heat_dry) < rh:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def critical_moisture(share: float) -> float:
    """Moisture below which a cloth's surface is no longer wet all over: 0.25 share.

    Published drying curves put it where the desorption isotherm meets 100 % humidity, the same for thick
    and thin cloth; that is about 0.25 kg/kg for cotton here, and goes with the capacity of the fibre.

    Parameters
    ----------
    share : of `sorption_share` [1].

    Returns
    -------
    Moisture [kg/kg dry cloth].

    References
    ----------
    Abstract of "Drying processes of fabrics" for the rule; 0.25 for cotton is assumed.

    >>> critical_moisture(1.0)
    0.25
    """
    return SATURATION_MOISTURE * share


def heat_capacity(X: float, cloth: Cloth) -> float:
    """Heat capacity of wet cloth at fixed moisture: m (c_d + X c_w).

    Parameters
    ----------
    X : moisture [kg/kg dry cloth].
    cloth : Cloth

    Returns
    -------
    Heat capacity [J/K].

    References
    ----------
    Energy balance.

    >>> round(heat_capacity(0.575, Cloth(3.833, 1165.0, 0.5235, 1.09e6, 0.25)))
    13691
    """
    return cloth.dry_mass * (cloth.dry_specific_heat + X * CP_WATER)


def load_enthalpy(T: float, X: float, cloth: Cloth) -> float:
    """Enthalpy of wet cloth: m ((c_d + X c_w)(T - 273.15) + e(X)).

    Water that leaves with the vapour's enthalpy at fixed T then costs the latent heat plus q.

    Parameters
    ----------
    T : temperature [K].
    X : moisture [kg/kg dry cloth].
    cloth : Cloth

    Returns
    -------
    Enthalpy [J], zero for dry cloth apart from free liquid water at 0 degC.

    References
    ----------
    Energy balance; [1] for e(X).

    >>> round(load_enthalpy(297.04, 0.575, Cloth(3.833, 1165.0, 0.5235, 1.09e6, 0.25)))
    327085
    """
    bound = cloth.dry_mass * bound_enthalpy(X, cloth.sorption_share, cloth.sorption_heat)
    return heat_capacity(X, cloth) * (T - ZERO_C) + bound


def load_temperature(H: float, X: float, cloth: Cloth) -> float:
    """Temperature of wet cloth, the inverse of `load_enthalpy` at fixed X.

    Parameters
    ----------
    H : enthalpy [J].
    X : moisture [kg/kg dry cloth], above -c_dry/4186.
    cloth : Cloth
        Its dry mass above 0.

    Returns
    -------
    Temperature [K].

    References
    ----------
    As `load_enthalpy`.

    >>> round(load_temperature(327085.0, 0.575, Cloth(3.833, 1165.0, 0.5235, 1.09e6, 0.25)), 2)
    297.04
    """
    bound = cloth.dry_mass * bound_enthalpy(X, cloth.sorption_share, cloth.sorption_heat)
    return ZERO_C + (H - bound) / heat_capacity(X, cloth)


def temperature_rate(T: float, X: float, H_rate: float, X_rate: float, cloth: Cloth) -> float:
    """How fast wet cloth warms: the time derivative of `load_temperature`.

    Parameters
    ----------
    T : temperature [K].
    X : moisture [kg/kg dry cloth].
    H_rate : rate of its enthalpy [W].
    X_rate : rate of its moisture [1/s].
    cloth : Cloth

    Returns
    -------
    Rate [K/s].

    References
    ----------
    As `load_enthalpy`.

    >>> round(temperature_rate(300.0, 0.5, 1000.0, 0.0, Cloth(1.0, 1165.0, 0.5235, 1.09e6, 0.25)), 4)
    0.3069
    """
    water = CP_WATER * (T - ZERO_C) - sorption_heat(X, cloth.sorption_share, cloth.sorption_heat)
    return (H_rate - cloth.dry_mass * water * X_rate) / heat_capacity(X, cloth)


def surface_wetness(X: float, critical: float) -> float:
    """Wet share of the surface: min(1, X/X_c)^0.7.

    Parameters
    ----------
    X : moisture [kg/kg dry cloth]; below 0 taken as 0.
    critical : moisture X_c [kg/kg] above which the surface is wet all over, above 0.

    Returns
    -------
    Share [1], 0 to 1.

    References
    ----------
    None: fitted, exponent 0.7 and X_c of about 0.25.

    >>> round(surface_wetness(0.1, 0.25), 3)
    0.527
    """
    return float(min(1.0, max(0.0, X) / critical) ** WETNESS_EXPONENT)


def remaining_moisture(wet_mass: float, dry_mass: float) -> float:
    """Remaining moisture content by weighing: (wet - dry) / dry.

    Parameters
    ----------
    wet_mass : load as it is [kg].
    dry_mass : the same load bone-dry [kg], above 0. ValueError otherwise.

    Returns
    -------
    Moisture [kg/kg dry cloth]; negative if the bone-dry weight was not bone-dry.

    References
    ----------
    Definition.

    >>> round(remaining_moisture(6.037, 3.833), 3)
    0.575
    """
    if not dry_mass > 0.0:
        raise ValueError("bone-dry mass must be above 0 kg")
    return (wet_mass - dry_mass) / dry_mass
