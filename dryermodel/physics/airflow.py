"""The air network: three inlets, a screen, a blower and a vent.

Every element obeys a square law, ``dp = R m**2 / rho``, so the whole network folds into one
equation for the pressure at the machine's outlet collar. Mass flows are of *moist* air here; the
caller divides by ``1 + w``.

::

    room --burner path--+                        +--vent joint leak--> room
    room --drum seal----+--load--screen--+--fan--+--vent--> outdoors
    room --gasket leak-------------------+

References
----------
.. [1] I. E. Idelchik, Handbook of Hydraulic Resistance, 3rd ed., 1994 (orifice plate in a duct).
.. [2] C. F. Colebrook, "Turbulent flow in pipes", J. Inst. Civil Eng. 11 (1939) 133-156.
.. [3] S. E. Haaland, "Simple and explicit formulas for the friction factor in turbulent pipe
   flow", J. Fluids Eng. 105 (1983) 89-90.
.. [4] ASHRAE Handbook Fundamentals, ch. 21, Duct design (Darcy and Colebrook equations).
"""

from __future__ import annotations

import math
from typing import NamedTuple

AIR_VISCOSITY = 1.9e-5
"""Dynamic viscosity of air near 45 degC [Pa s]; the friction factor hardly depends on it."""

TURBULENT_REYNOLDS = 3000.0
"""Below this Reynolds number the friction factor is held: the pressure loss is then negligible."""


FIRST_ROOT = 6.5
"""First guess of ``1/sqrt(f)`` in the vent."""

FRICTION_PASSES = 2
"""Newton steps on the friction factor; the flow then stands within 0.02 % of its limit."""

TWO_OVER_LN10 = 0.868588963806504


class Flows(NamedTuple):
    """Moist-air mass flows [kg/s] and pressures [Pa] of the solved network."""

    burner: float  # drawn past the burner
    drum_seal: float  # drawn into the drum past the burner
    gasket: float  # drawn in between screen and blower
    total: float  # through the blower
    joint: float  # lost from the vent into the room
    collar_pressure: float  # static pressure at the outlet collar, above the room
    suction: float  # depth of vacuum at the blower inlet, below the room
    drum_suction: float  # depth of vacuum in the drum, below the room


class VentLine(NamedTuple):
    """The vent as the friction sum needs it, SI."""

    diameter: float  # [m]
    length: float  # [m]
    roughness: float  # [m]
    flex_factor: float  # [1]
    minor_loss: float  # [1] sum of K, blockage included
    resistance_factor: float  # [1]


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


def blockage_loss(open_fraction: float) -> float:
    """Loss coefficient of a sudden partial blockage, on the unblocked duct's velocity pressure.

    ``K = ((1 + 0.707 sqrt(1 - o) - o) / o)**2``, a thin sharp-edged plate in a straight
    duct [1]_. Capped at 1e8, which is a closed duct for every practical purpose.

    Parameters
    ----------
    open_fraction : float
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
    o = max(open_fraction, 1.0e-4)
    if o >= 1.0:
        return 0.0
    return ((1.0 + 0.707 * math.sqrt(1.0 - o) - o) / o) ** 2


def duct_area(diameter: float) -> float:
    """Cross-section of a round duct of `diameter` [m], in m2."""
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
    """Reynolds number of `mass_flow` [kg/s] in a round duct of `diameter` [m]."""
    return 4.0 * mass_flow / (math.pi * diameter * AIR_VISCOSITY)


def leak_conductance(area: float, coefficient: float, density: float) -> float:
    """Conductance ``C`` of an orifice-like leak in ``m = C sqrt(dp)`` [kg/(s Pa^0.5)].

    ``m = c A sqrt(2 rho dp)``.

    Parameters
    ----------
    area : float
        Leak area [m2].
    coefficient : float
        Discharge coefficient [1], about 0.6 for a sharp edge.
    density : float
        Of the air that flows in [kg/m3].
    """
    return coefficient * area * math.sqrt(2.0 * density)


def collar_pressure(
    dead_head: float, source: float, vent: float, joint: float, back_pressure: float
) -> float:
    """Static pressure at the outlet collar, where blower and vent agree [Pa].

    Solves ``sqrt((p0 - p)/Rs) = Cv sqrt(p - pb) + Cj sqrt(p)`` for ``p`` in ``[0, p0]``. The left
    side falls and the right side rises with ``p``, so the root exists and is unique for every
    admissible input, a closed vent included. Without a joint leak, or without back pressure, it is
    a closed form; otherwise bracketed bisection with secant steps (Illinois).

    Parameters
    ----------
    dead_head : float
        Net pressure at no flow, ``p0`` [Pa].
    source : float
        Resistance upstream of the collar, blower's own included, ``Rs`` [Pa s2/kg2].
    vent, joint : float
        Conductances ``Cv`` and ``Cj`` of vent and joint leak [kg/(s Pa^0.5)].
    back_pressure : float
        Pressure ``pb`` that the vent's outlet must overcome [Pa], may be negative.
    """
    if dead_head <= 0.0:
        return 0.0
    if back_pressure == 0.0 or joint == 0.0:
        c2 = source * (vent + joint) ** 2
        p = (dead_head + c2 * back_pressure) / (1.0 + c2)
        return min(max(p, 0.0), dead_head)
    low, high = 0.0, dead_head
    g_low = _surplus(low, dead_head, source, vent, joint, back_pressure)
    g_high = _surplus(high, dead_head, source, vent, joint, back_pressure)
    if g_low <= 0.0:
        return 0.0
    p = high
    side = 0
    for _ in range(60):
        p = (low * g_high - high * g_low) / (g_high - g_low) if g_high < g_low else 0.5 * (low + high)
        g = _surplus(p, dead_head, source, vent, joint, back_pressure)
        if abs(high - low) < 1e-12 * dead_head or g == 0.0:
            break
        if g > 0.0:
            low, g_low = p, g
            if side == 1:
                g_high *= 0.5
            side = 1
        else:
            high, g_high = p, g
            if side == -1:
                g_low *= 0.5
            side = -1
    return p


def outlet(
    head: float, source: float, vent: VentLine, density: float, joint: float, back_pressure: float
) -> tuple[float, float, float]:
    """Where the blower's net curve and the vent agree: collar pressure [Pa], blower and vent flow [kg/s].

    The friction factor answers to the flow and the flow to the friction factor; Newton's method on
    the pair needs two steps.

    Parameters
    ----------
    head, source : float
        Net pressure at no flow [Pa] and resistance upstream of the collar [Pa s2/kg2].
    vent : VentLine
        The vent line.
    density : float
        Of the exhaust air [kg/m3].
    joint : float
        Conductance of the joint leak [kg/(s Pa^0.5)].
    back_pressure : float
        At the vent's outlet [Pa].
    """
    roughness = vent.roughness / vent.diameter
    minor = vent_resistance(0.0, vent, density)
    straight = vent_resistance(1.0, vent, density) - minor
    root = FIRST_ROOT
    newton = 0
    while True:
        friction = straight / (root * root)
        resistance = minor + friction
        if joint == 0.0:
            total = through = math.sqrt(max(head - back_pressure, 0.0) / (source + resistance))
            p = min(max(head - source * total * total, 0.0), head)
        else:
            p = collar_pressure(head, source, 1.0 / math.sqrt(resistance), joint, back_pressure)
            total = math.sqrt(max(head - p, 0.0) / source)
            through = max(total - joint * math.sqrt(p), 0.0)
        if newton == FRICTION_PASSES:
            return p, total, through
        reynolds = vent_reynolds(through, vent.diameter)
        answering = reynolds > TURBULENT_REYNOLDS
        response = friction / (source + resistance) if answering else 0.0
        root = colebrook(root, reynolds, roughness, response)
        newton += 1


def _surplus(p: float, dead_head: float, source: float, vent: float, joint: float, back: float) -> float:
    """Flow the blower offers less the flow the outlets take at collar pressure `p` [kg/s]."""
    offered = math.sqrt(max(dead_head - p, 0.0) / source)
    return offered - vent * math.sqrt(max(p - back, 0.0)) - joint * math.sqrt(max(p, 0.0))


def inlet_conductance(loss: float, reference_density: float, density: float) -> float:
    """Conductance in ``m = C sqrt(dp)`` of a path whose loss is ``dp = loss * Q**2`` at a stated density.

    Parameters
    ----------
    loss : float
        Loss coefficient at reference density [Pa s2/m6].
    reference_density, density : float
        Densities of the statement and of the air that flows [kg/m3].
    """
    return math.sqrt(density * reference_density / loss)


def solve_network(
    room_density: float,
    drum_density: float,
    gasket_free_density: float,
    reference_density: float,
    burner_loss: float,
    load_loss: float,
    screen_loss: float,
    seal_leak: float,
    gasket_leak: float,
    joint_area: float,
    leak_coefficient: float,
    dead_head: float,
    fan_slope: float,
    vent: VentLine,
    back_pressure: float,
) -> Flows:
    """Solve the air network for its three inlets, the vent and the joint leak.

    Upstream of the blower everything is a square law between the room and the blower inlet, so it
    folds into one conductance in closed form, and the shares of the three inlets do not depend on
    the blower. The vent's friction factor is then substituted until it settles.

    Parameters
    ----------
    room_density, drum_density, gasket_free_density : float
        Moist-air densities [kg/m3] in the room, leaving the load, and leaving the screen before
        the gasket leak joins.
    reference_density : float
        Density at which losses and fan are stated [kg/m3].
    burner_loss, load_loss, screen_loss : float
        Loss coefficients [Pa s2/m6].
    seal_leak, gasket_leak, joint_area : float
        Leak areas [m2].
    leak_coefficient : float
        Discharge coefficient of the leaks [1].
    dead_head : float
        Of the blower at reference density and present speed [Pa].
    fan_slope : float
        The blower's own quadratic loss [Pa s2/m6].
    vent : VentLine
        The vent line.
    back_pressure : float
        At the vent's outlet [Pa].

    Returns
    -------
    Flows
        Mass flows [kg/s] and pressures [Pa].
    """
    c_burner = inlet_conductance(burner_loss, reference_density, room_density)
    c_seal = leak_conductance(seal_leak, leak_coefficient, room_density)
    c_gasket = leak_conductance(gasket_leak, leak_coefficient, room_density)
    c_first = c_burner + c_seal
    r_drum = 1.0 / (c_first * c_first)
    r_load = load_loss / (reference_density * drum_density)
    r_screen = screen_loss / (reference_density * gasket_free_density)
    c_drum = 1.0 / math.sqrt(r_drum + r_load + r_screen)
    c_suction = c_drum + c_gasket
    gasket_share = c_gasket / c_suction
    density = 1.0 / ((1.0 - gasket_share) / gasket_free_density + gasket_share / room_density)

    head = dead_head * density / reference_density
    source = fan_slope / (reference_density * density) + 1.0 / (c_suction * c_suction)
    c_joint = leak_conductance(joint_area, leak_coefficient, density)
    p, total, through_vent = outlet(head, source, vent, density, c_joint, back_pressure)
    joint = total - through_vent

    suction = (total / c_suction) ** 2
    through_drum = total * (1.0 - gasket_share)
    drum_suction = r_drum * through_drum * through_drum
    burner = through_drum * c_burner / c_first
    return Flows(
        burner,
        through_drum - burner,
        total - through_drum,
        total,
        joint,
        p,
        suction,
        drum_suction,
    )
