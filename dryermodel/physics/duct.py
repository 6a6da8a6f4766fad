"""Ducts: friction factor, what blockages and dents take, the vent as one resistance.

References
----------
.. [1] I. E. Idelchik, Handbook of Hydraulic Resistance, 3rd ed., 1994 (orifice plate in a duct).
.. [2] C. F. Colebrook, "Turbulent flow in pipes", J. Inst. Civil Eng. 11 (1939) 133-156.
.. [3] S. E. Haaland, "Simple and explicit formulas for the friction factor in turbulent pipe
   flow", J. Fluids Eng. 105 (1983) 89-90.
.. [4] ASHRAE Handbook Fundamentals, ch. 21, Duct design (Darcy and Colebrook equations; losses in
   series and side by side).
"""

from __future__ import annotations

import math
from typing import NamedTuple

AIR_VISCOSITY = 1.9e-5
"""Dynamic viscosity of air near 45 degC [Pa s]; the friction factor hardly depends on it."""

TURBULENT_REYNOLDS = 3000.0
"""Below this Reynolds number the friction factor is held: the pressure loss is then negligible."""

TWO_OVER_LN10 = 0.868588963806504


class VentLine(NamedTuple):
    """The vent as a person describes it, SI."""

    diameter: float  # [m]
    length: float  # [m]
    roughness: float  # [m]
    flex_factor: float  # [1]
    minor_loss: float  # [1] sum of K, blockage included
    resistance_factor: float  # [1]


class Vent(NamedTuple):
    """What of the vent stays the same while densities and flows change."""

    minor: float  # [1/m4] resistance times density, without friction
    straight: float  # [1/m4] the same of the straight duct at a friction factor of 1
    roughness: float  # [1] relative
    reynolds: float  # [s/kg] Reynolds number per mass flow


def friction_factor(reynolds: float, relative_roughness: float) -> float:
    """Darcy friction factor of turbulent duct flow.

    Haaland's explicit formula [3]_ sharpened by one Newton step on Colebrook's equation [2]_, which
    leaves less than 0.002 % to the implicit equation.

    Parameters
    ----------
    reynolds : float
        Reynolds number [1]; values below 3000 are evaluated at 3000.
    relative_roughness : float
        Roughness over diameter [1], 0 to 0.05.

    Returns
    -------
    float
        Darcy friction factor [1].

    Examples
    --------
    >>> round(friction_factor(1e5, 0.001), 4)
    0.0222
    """
    re = max(reynolds, TURBULENT_REYNOLDS)
    haaland = -1.8 * math.log10((relative_roughness / 3.7) ** 1.11 + 6.9 / re)
    root = colebrook(haaland, re, relative_roughness, 0.0)
    return 1.0 / (root * root)


def colebrook(root: float, reynolds: float, relative_roughness: float, flow_response: float) -> float:
    """One Newton step on Colebrook's equation for ``x = 1/sqrt(f)`` [2]_.

    Solves ``x = -2 log10(e/3.7 + 2.51 x/Re)``, where the Reynolds number itself may answer to ``x``
    because a smoother duct passes more.

    Parameters
    ----------
    root : float
        Present ``x`` [1].
    reynolds : float
        Reynolds number at that ``x`` [1]; values below 3000 are evaluated at 3000.
    relative_roughness : float
        Roughness over diameter [1].
    flow_response : float
        ``d ln Re / d ln x`` [1], 0 when the flow is given, at most 1.

    Returns
    -------
    float
        Better ``x``; two steps from 6.5 leave less than 0.02 %.

    Examples
    --------
    >>> round(colebrook(colebrook(6.5, 1e5, 0.001, 0.0), 1e5, 0.001, 0.0), 4)
    6.7154
    """
    rough = relative_roughness / 3.7
    smooth = 2.51 * root / max(reynolds, TURBULENT_REYNOLDS)
    target = -TWO_OVER_LN10 * math.log(rough + smooth)
    slope = TWO_OVER_LN10 * smooth * (1.0 - flow_response) / ((rough + smooth) * root)
    return root + (target - root) / (1.0 + slope)


def blockage_loss(open_area: float) -> float:
    """Loss coefficient of a sudden partial blockage, on the unblocked duct's velocity pressure.

    ``K = ((1 + 0.707 sqrt(1 - o) - o) / o)**2``, a thin sharp-edged plate in a straight
    duct [1]_. Capped at 1e8, which is a closed duct for every practical purpose.

    Parameters
    ----------
    open_area : float
        Open share ``o`` of the duct area [1], 0 to 1.

    Returns
    -------
    float
        Loss coefficient [1].

    Examples
    --------
    >>> blockage_loss(1.0)
    0.0
    >>> round(blockage_loss(0.5), 2)
    4.0
    """
    o = max(open_area, 1.0e-4)
    if o >= 1.0:
        return 0.0
    root = (1.0 + 0.707 * math.sqrt(1.0 - o) - o) / o
    return root * root


def duct_area(diameter: float) -> float:
    """Cross-section of a round duct of `diameter` [m], in m2 [4]_."""
    return 0.25 * math.pi * diameter * diameter


def vent_resistance(friction: float, vent: VentLine, density: float) -> float:
    """Resistance of the vent ``R`` in ``dp = R m**2`` [Pa s2/kg2].

    Darcy friction plus minor losses on the duct's velocity pressure [4]_.

    Parameters
    ----------
    friction : float
        Darcy friction factor [1].
    vent : VentLine
        Dimensions and coefficients, SI.
    density : float
        Of the moist exhaust air [kg/m3].
    """
    area = duct_area(vent.diameter)
    k = friction * vent.flex_factor * vent.length / vent.diameter + vent.minor_loss
    return vent.resistance_factor * k / (2.0 * density * area * area)


def vent_reynolds(mass_flow: float, diameter: float) -> float:
    """Reynolds number of `mass_flow` [kg/s] in a round duct of `diameter` [m] [4]_."""
    return 4.0 * mass_flow / (math.pi * diameter * AIR_VISCOSITY)


def vent_of(line: VentLine) -> Vent:
    """Constants of the vent `line` [4]_."""
    minor = vent_resistance(0.0, line, 1.0)
    straight = vent_resistance(1.0, line, 1.0) - minor
    return Vent(minor, straight, line.roughness / line.diameter, vent_reynolds(1.0, line.diameter))


def resistance_at(root: float, vent: Vent, density: float) -> float:
    """Resistance of the vent [Pa s2/kg2] at ``root = 1/sqrt(f)`` and a density [kg/m3] [4]_."""
    return (vent.minor + vent.straight / (root * root)) / density


def flattened_friction(height_share: float) -> float:
    """Friction of a round duct pressed flat over that of the round one, at the same flow [1].

    Pressed between two plates a duct becomes a flat oval of the same circumference. With g its height over
    the diameter, area and hydraulic diameter both fall to ``a = g (2 - g)`` of the round duct's, and at one
    friction factor the pressure lost goes as 1/(D_h A^2) = a^-3.

    Parameters
    ----------
    height_share : float
        Height left, as a share of the diameter [1]; above 0, to 1.

    Notes
    -----
    Darcy-Weisbach with the hydraulic diameter, ASHRAE Fundamentals ch. 21; the flat oval by geometry. Losses
    at the two ends of the flat piece are left out, as is the slight rise of the friction factor.

    Examples
    --------
    >>> flattened_friction(1.0), round(flattened_friction(0.25), 1)
    (1.0, 11.9)
    """
    left = height_share * (2.0 - height_share)
    return 1.0 / (left * left * left)
